// What a form of a bout shows is what is saved, or it says what is wrong.
import assert from "node:assert/strict";
import { test } from "node:test";
import { faults as payloadFaults } from "../../static/patient/model/check.js";
import { answersFromPayload, answersFromPlan, payloadOf } from "../../static/patient/ui/bout-answers.js";
import { BoutForm } from "../../static/patient/ui/bout-form.js";
import { makePage, partOf } from "./page.js";

makePage();

const REVISION = { contractions_per_bout: 30, bout_min: 20, unit: "mA", exercises: [], intensity: [{ channel: 1, start: 20, floor: null, ceiling: null }] };
const NOW = { now_ms: Date.UTC(2030, 2, 4, 9), offset_min: 0 };

function formOf(value) {
  const form = new BoutForm({ value, revision: REVISION, last: null, changed: () => {}, asksBefore: true });
  const page = partOf(...form.elements());
  return {
    value, page,
    type: (id, text) => page.byId(id).type(text),
    asks: () => page.byId("ended_early") !== null,
    saves: () => payloadOf(value, REVISION),
    faults: () => form.faults().map(({ id }) => id),
    words: (id) => form.faults().find((one) => one.id === id)?.words,
  };
}

const felt = { discomfort: 3, knee_pain_before: 1, knee_pain_after: 2 };
const fresh = () => formOf({ ...answersFromPlan(REVISION, NOW, "2030-03-04"), ...felt, intensity: { 1: 40 } });

test("a bout that was whole after all did not end early", () => {
  const form = fresh();
  form.type("contractions", "20");
  form.value.early = "pain";

  form.type("contractions", "30");

  assert.equal(form.asks(), false);
  assert.equal(form.saves().ended_early, null);
});

test("a reason stays while its number is typed anew", () => {
  const form = fresh();
  form.type("contractions", "20");
  form.value.early = "pain";

  ["", "2", "21"].forEach((typed) => form.type("contractions", typed));

  assert.equal(form.saves().ended_early, "pain");
});

test("the reason of a bout that was ended after its last contraction is asked about again", () => {
  const form = formOf(answersFromPayload({ ...fresh().saves(), ended_early: "tired" }));

  assert.equal(form.asks(), true);
  assert.equal(form.saves().ended_early, "tired");
});

for (const [id, typed, words] of [
  ["channel-1", "300", "Channel 1: a number from 0 to 200."],
  ["channel-1", "-5", "Channel 1: a number from 0 to 200."],
  ["minutes", "241", "Minutes: a number from 0 to 240."],
  ["contractions", "601", "Contractions: a whole number from 0 to 600."],
  ["contractions", "29.5", "Contractions: a whole number from 0 to 600."],
]) {
  test(`${typed} as ${id} is a fault beside it and no other number`, () => {
    const form = fresh();

    form.type(id, typed);

    assert.equal(form.words(id), words);
    assert.equal(form.page.byId(id).value, typed);
  });
}

for (const [id, typed, saved] of [["channel-1", "42.5", (p) => p.intensity[0].value], ["minutes", "12.5", (p) => p.minutes], ["contractions", "600", (p) => p.contractions]]) {
  test(`${typed} as ${id} is saved as it is shown`, () => {
    const form = fresh();

    form.type(id, typed);

    assert.deepEqual(form.faults(), []);
    assert.equal(saved(form.saves()), Number(typed));
    assert.deepEqual(payloadFaults("bout", form.saves()), []);
  });
}
