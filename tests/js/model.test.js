import assert from "node:assert/strict";
import { test } from "node:test";
import { currentEntries } from "../../static/patient/model/chain.js";
import { cleanText, faults } from "../../static/patient/model/check.js";
import { addDays, addHours, closesAt, daysBetween, lastDays, localDay, localTime, momentOf, weekday } from "../../static/patient/model/day.js";
import { clockChanged, entryFields, freeze } from "../../static/patient/model/entry.js";
import { comingRevision, nextBout } from "../../static/patient/model/plan.js";
import { UNCHANGED, restsTheSpot } from "../../static/patient/model/skin.js";

test("days step over a leap day, a year's end and a clock change", () => {
  assert.equal(addDays("2032-02-28", 1), "2032-02-29");
  assert.equal(addDays("2030-12-31", 1), "2031-01-01");
  assert.equal(addDays("2030-03-31", -1), "2030-03-30");
  assert.equal(daysBetween("2030-03-30", "2030-04-01"), 2);
  assert.deepEqual(lastDays("2030-03-01", 3), ["2030-02-27", "2030-02-28", "2030-03-01"]);
});

test("Monday is weekday 0", () => {
  assert.deepEqual(["2030-03-04", "2030-03-10"].map(weekday), [0, 6]);
});

test("the day is the one on the wall, east and west of Greenwich", () => {
  const ms = Date.UTC(2030, 2, 4, 23, 30);
  assert.equal(localDay(ms, 60), "2030-03-05");
  assert.equal(localDay(ms, -300), "2030-03-04");
  assert.equal(localTime(ms, 345), "2030-03-05T05:15:00");
});

test("a day closes at noon of the next one", () => {
  assert.equal(closesAt("2030-03-31"), "2030-04-01T12:00:00");
  assert.equal(addHours("2030-03-04T22:30", 4), "2030-03-05T02:30");
});

const PLACE = { phone_id: "p", episode_id: "e", revision_id: "r", for_date: "2030-03-04", logged_by: { who: "patient" } };
const READING = { now_ms: 0, mono_ms: 0, run: "a", offset_min: 0, zone: "UTC", clock_changed: false };

test("a frozen entry holds every field of the protocol", () => {
  const fields = entryFields({ id: "i", kind: "bout", payload: {}, reading: READING, place: PLACE });
  assert.deepEqual(Object.keys(JSON.parse(freeze(fields, 7))).sort(), [
    "clock_changed", "device_ms", "episode_id", "for_date", "id", "kind", "local_time", "logged_by", "number",
    "offset_min", "payload", "phone_id", "revision_id", "schema", "zone"]);
});

for (const [name, after, changed] of [
  ["the clock ran with the page", { now_ms: 600_000, mono_ms: 600_000, run: "a" }, false],
  ["the clock jumped three minutes ahead", { now_ms: 780_000, mono_ms: 600_000, run: "a" }, true],
  ["the clock jumped three minutes back", { now_ms: 420_000, mono_ms: 600_000, run: "a" }, true],
  ["another run of the page, later", { now_ms: 900_000_000, mono_ms: 5, run: "b" }, false],
  ["another run of the page, earlier than the last entry", { now_ms: -300_000, mono_ms: 5, run: "b" }, true],
]) {
  test(`clock: ${name}`, () => assert.equal(clockChanged(READING, after), changed));
}

test("clock: the first entry has nothing to compare with", () => {
  assert.equal(clockChanged(null, READING), false);
});

const BOUT = {
  started_at: "2030-03-04T08:15", ended_early: null, minutes: 15, contractions: 15, intensity: [{ channel: 1, value: 42, unit: "mA" }],
  exercises: ["quad_set"], discomfort: 4, knee_pain_before: 2, knee_pain_after: 3,
};
for (const [name, change, expected] of [
  ["a sound bout", {}, []],
  ["discomfort not answered", { discomfort: null }, ["discomfort"]],
  ["discomfort 11", { discomfort: 11 }, ["discomfort"]],
  ["knee pain with a half", { knee_pain_after: 2.5 }, ["knee_pain_after"]],
  ["no intensity", { intensity: [] }, ["intensity"]],
  ["microamperes by mistake", { intensity: [{ channel: 1, value: 42_000, unit: "mA" }] }, ["intensity"]],
  ["the stimulator's own units go further", { intensity: [{ channel: 1, value: 420, unit: "level" }] }, []],
  ["an unknown reason", { ended_early: "bored" }, ["ended_early"]],
  ["a start without a day", { started_at: "08:15" }, ["started_at"]],
]) {
  test(`bout: ${name}`, () => assert.deepEqual(faults("bout", { ...BOUT, ...change }), expected));
}

const check = (facts) => ({ bout_id: null, moment: "after", pads: [{ pad: "upper_outer", facts }] });

test("a skin check with an open question is not whole", () => {
  assert.deepEqual(faults("skin_check", check({ ...UNCHANGED })), []);
  assert.deepEqual(faults("skin_check", check({ ...UNCHANGED, itchy: undefined })), ["pads"]);
  assert.deepEqual(faults("skin_check", check({ ...UNCHANGED, colour: "slight" })), ["pads"]);
  assert.deepEqual(faults("skin_check", check({ ...UNCHANGED, pattern: "even" })), ["pads"]);
});

test("a mark before the bout rests the spot; soreness or itch alone does not", () => {
  const before = (facts) => restsTheSpot({ moment: "before", pads: [{ pad: "upper_outer", facts: { ...UNCHANGED, ...facts } }] });
  assert.equal(before({ colour: "slight", pattern: "even" }), true);
  assert.equal(before({ raised: true }), true);
  assert.equal(before({ sore: true, itchy: true }), false);
});

test("text keeps what people write and loses only what no database takes", () => {
  assert.equal(cleanText("  sore\u0000 😀 knee\ud83d "), "sore 😀 knee");
});

const program = (more) => ({ state: "active", ended_on: null, pauses: [], revisions: [{ number: 1, first_day: "2030-03-01", effective_from: "2030-03-01", weekdays: [0, 1, 2, 3, 4, 5, 6], bouts_per_day: 2, minimum_gap_h: 4, ...more }] });

test("the second bout waits for the gap", () => {
  assert.deepEqual(nextBout({ program: program(), day: "2030-03-04", bouts: 1, lastEnd: "2030-03-04T09:30" }), { due: 2, bouts: 1, ordinal: 2, not_before: "2030-03-04T13:30" });
});

test("a bout late yesterday makes the first one wait across midnight", () => {
  assert.equal(nextBout({ program: program(), day: "2030-03-05", bouts: 0, lastEnd: "2030-03-04T23:00" }).not_before, "2030-03-05T03:00");
});

test("a bout told as not done is not asked for again", () => {
  assert.equal(nextBout({ program: program(), day: "2030-03-04", bouts: 1, notDone: 1 }).ordinal, null);
});

test("a revision that waits is told as coming", () => {
  const two = program();
  two.revisions.push({ ...two.revisions[0], number: 2, first_day: "2030-03-06", effective_from: null });
  assert.equal(comingRevision(two, "2030-03-04").number, 2);
  assert.equal(comingRevision(program(), "2030-03-04"), null);
});

const entry = (id, kind, payload, more = {}) => ({ id, kind, payload, number: 1, version: null, ...more });
const corrected = (id, discomfort, more) => entry(id, "correction", { of: "b", payload: { ...BOUT, discomfort }, reason: "A wrong number" }, more);

test("a correction stands and the first words are kept", () => {
  const [bout] = currentEntries([entry("b", "bout", BOUT), corrected("c", 7)]);
  assert.equal(bout.payload.discomfort, 7);
  assert.equal(bout.first_payload.discomfort, 4);
});

test("of two corrections the clinic's higher version stands, in any order of arrival", () => {
  const all = [entry("b", "bout", BOUT), corrected("c", 7, { version: 9 }), corrected("d", 8, { version: 5 })];
  assert.equal(currentEntries(all)[0].payload.discomfort, 7);
  assert.equal(currentEntries([...all].reverse()).find(({ id }) => id === "b").payload.discomfort, 7);
});

test("a correction the clinic has not numbered yet is newer than those it has", () => {
  const all = [entry("b", "bout", BOUT), corrected("c", 7, { version: 9, number: 2 }), corrected("d", 8, { number: 3 })];
  assert.equal(currentEntries(all)[0].payload.discomfort, 8);
});

test("a withdrawn entry is marked, and one whose target has not come is no entry of its own", () => {
  const taken = entry("w", "withdrawal", { of: "b", reason: "Logged twice" });
  assert.equal(currentEntries([entry("b", "bout", BOUT), taken])[0].withdrawn, true);
  assert.deepEqual(currentEntries([taken]), []);
});

for (const [what, time, given, expected] of [
  ["a time of today is of today", "08:00", {}, "2030-03-05T08:00"],
  ["a time to come is none", "11:30", {}, null],
  ["a time to come in the night was of the evening before", "23:40", { now: "2030-03-05T00:10", start: "2030-03-05T00:05" }, "2030-03-04T23:40"],
  ["a bout that began past midnight may have begun before it", "23:59", { day: "2030-03-04", start: "2030-03-05T00:03" }, "2030-03-04T23:59"],
  ["and the other way about", "00:02", { day: "2030-03-05", start: "2030-03-04T23:50" }, "2030-03-05T00:02"],
  ["a bout of yesterday stays there", "23:30", { day: "2030-03-04", start: "2030-03-04T09:40" }, "2030-03-04T23:30"],
]) {
  test(`start: ${what}`, () => {
    assert.equal(momentOf(time, { start: "2030-03-05T09:30", day: "2030-03-05", now: "2030-03-05T10:00", ...given }), expected);
  });
}
