// The form's question to the dose check, and what is said about its answer.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { areaOf, questionOf } from "../../static/clinic/dose-request.js";
import { announcement, doubt, firstWeekWords, lead, otherBoutMin, shown, tempoWords, toldSource } from "../../static/clinic/dose-words.js";

const { cases } = JSON.parse(readFileSync(new URL("../../fixtures/desk/questions.json", import.meta.url)));
const KNOWN = { weeks: 6, stimulators: { high: { unit: "mA", channels: 2 }, levels: { unit: "level", channels: 2 } } };
const OFF = { label: "Off time", unit: "s", usual: [2, 180], possible: [1, 600], factors: [[60, "minutes typed for seconds"], [0.001, "milliseconds typed for seconds"]] };

for (const { what, form, request, missing } of cases) {
  test(`the server asks the same: ${what}`, () => {
    const question = questionOf(form, KNOWN);
    assert.deepEqual(question.missing, missing);
    if (request === null) assert.equal(question.request, null);
    else assert.deepEqual(question.request, { ...request, stimulator: form.stimulator[0] });
  });
}

test("levels of a stimulator's own are no milliamperes", () => {
  const form = { ...cases[0].form, stimulator: ["levels"] };
  assert.equal(questionOf(form, KNOWN).request.intensity_ma, null);
});

test("the field of the highest level is where a slip is put right", () => {
  assert.equal(questionOf({ ...cases[0].form, start_2: ["90"] }, KNOWN).names.intensity_ma, "start_2");
});

test("a pad's area comes from its shape and size", () => {
  assert.equal(areaOf({ pad_shape: ["rectangle"], pad_width_cm: ["7.6"], pad_height_cm: ["12.7"] }), 96.5);
  assert.equal(areaOf({ pad_shape: ["round"], pad_diameter_cm: ["7"] }), 38.5);
  assert.equal(areaOf({ pad_shape: ["rectangle"], pad_width_cm: ["7.6"] }), null);
});

test("1 s of rest is asked about: a minute was likely meant", () => {
  assert.deepEqual(doubt(1, OFF), { likely: 60, why: "minutes typed for seconds", sentence: "Off time 1 s: did you mean 60 s (minutes typed for seconds)?" });
});

test("usual, impossible and missing values raise no doubt", () => {
  assert.deepEqual([50, 0.5, null].map((value) => doubt(value, OFF)), [null, null, null]);
});

test("a tempo of 3-3-3 fits 10 s and 4-4-4 does not", () => {
  assert.equal(tempoWords(1, [3, 3, 3], 10), "Exercise 1: 3-3-3 takes 9 s and fits the 10 s on time.");
  assert.equal(tempoWords(2, [4, 4, 4], 10), "Exercise 2: 4-4-4 takes 12 s and does not fit the 10 s on time: 2 s would be without current.");
});

test("figures have no more digits than a decision needs", () => {
  assert.deepEqual([shown(8.660254, "short"), shown(16.25, "time"), shown(5, "ratio"), shown(14400, "count"), shown(null, "short")], ["8.66", "16.25", "1:5", "14400", "not known"]);
});

test("the ramps counted the other way give the other total", () => {
  const request = { on_s: 6, off_s: 30, ramp_up_s: 3, ramp_down_s: 3, ramps_inside_on: true };
  assert.equal(otherBoutMin({ contractions_per_bout: 10 }, request), 7); // printed as about 7 min
  assert.equal(otherBoutMin({ contractions_per_bout: 10 }, { ...request, ramps_inside_on: false }), 6);
  assert.equal(otherBoutMin({ contractions_per_bout: 10 }, { ...request, ramp_up_s: 0, ramp_down_s: 0 }), null);
});

test("the lead says the dose in one sentence", () => {
  const reply = { contractions_per_bout: 15, bout_min: 15, stimulated_min_per_bout: 2.5, contractions_per_day: 30, contractions_per_week: 90 };
  assert.equal(lead(reply, { bouts_per_day: 2, days_per_week: 3 }), "15 contractions a bout in 15 min (2.5 min with current), 30 contractions a day, 90 a week in 6 bouts.");
});

test("a short first week is half the contractions and one bout a day", () => {
  assert.equal(firstWeekWords(15, 2), "8 contractions a bout and 1 bout a day for seven days");
});

test("what is said aloud counts kinds, not figures", () => {
  const findings = [{ level: "notice" }, { level: "outside" }, { level: "within" }, { level: "notice" }];
  assert.equal(announcement(findings, 0), "Checked: 1 outside and 2 worth a look.");
  assert.equal(announcement([{ level: "within" }], 0), "Checked: nothing stands out.");
  assert.equal(announcement([], 1), "1 likely slip found.");
});

test("a source that the message names already is not told twice", () => {
  const rest = "Rest 10 s: shorter than the 30-50 s of Nussbaum et al. 2017, Table 9.";
  assert.equal(toldSource(rest, "Nussbaum et al. 2017, Table 9, doi 10.3138/x"), "doi 10.3138/x");
  assert.equal(toldSource(rest, "Conley et al. 2021, doi 10.1177/y"), "Conley et al. 2021, doi 10.1177/y");
  assert.equal(toldSource("3 days a week: fewer than the 5-7 of common practice.", "Common practice, no source"), "");
});
