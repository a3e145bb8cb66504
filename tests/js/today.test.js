import assert from "node:assert/strict";
import { test } from "node:test";
import { UNCHANGED } from "../../static/patient/model/skin.js";
import { dayView, factsOf, programToday, yesterdayToLog } from "../../static/patient/model/today.js";

const EPISODE = "episode-left";
const REVISION = { id: "r1", number: 1, first_day: "2030-03-01", effective_from: "2030-03-01", weekdays: [0, 1, 2, 3, 4], bouts_per_day: 1, minimum_gap_h: 4, contractions_per_bout: 15 };
const PROGRAM = { id: "p1", state: "active", ended_on: null, episode: { id: EPISODE, limb: "left" }, pauses: [], revisions: [REVISION] };
const NOON = Date.UTC(2030, 2, 5, 12, 0); // Tuesday

const BEGUN = { [`bout:${EPISODE}`]: { step: "do", day: "2030-03-05" } };
const LEFT = { [`bout:${EPISODE}`]: { step: "do", day: "2030-03-04", count: { started_ms: NOON - 24 * 3_600_000 } } };
const entry = (kind, payload, for_date = "2030-03-05", id = kind) => ({ id, kind, payload, for_date, episode_id: EPISODE, revision_id: "r1", withdrawn: false, changes: [] });
const bout = (for_date, time = "08:00", contractions = 15) => entry("bout", { started_at: `${for_date}T${time}`, minutes: 15, contractions }, for_date, `bout-${for_date}`);
const skin = (moment, facts = {}, for_date = "2030-03-05", bout_id = null) => entry("skin_check", { bout_id, moment, pads: [{ pad: "upper_outer", facts: { ...UNCHANGED, ...facts } }] }, for_date, `skin-${moment}`);

function facts({ entries = [], now_ms = NOON, raised = [], safety = { placed: [], lifts: [] }, drafts = {}, program = PROGRAM, watermark = null }) {
  return factsOf({ reading: { now_ms, offset_min: 0 }, meta: { watermark }, texts: null, programs: [program], safety, entries, raised, drafts });
}
const step = (given, program = PROGRAM) => programToday(facts({ ...given, program }), program).step;
const at = (hour, day = 5) => Date.UTC(2030, 2, day, hour, 0);

for (const [name, given, expected, program] of [
  ["a due day asks for the bout", {}, "bout"],
  ["a logged bout asks for the skin", { entries: [bout("2030-03-05", "11:00")] }, "after"],
  ["bout and skin done: done", { entries: [bout("2030-03-05", "08:00"), skin("after", {}, "2030-03-05", "bout-2030-03-05")] }, "done"],
  ["a bout that ended early is told, not done", { entries: [bout("2030-03-05", "08:00", 11), skin("after", {}, "2030-03-05", "bout-2030-03-05")] }, "answered"],
  ["a reason why not: answered", { entries: [entry("not_done", { ordinal: 1, reason: "ill" })] }, "answered"],
  ["a mark before the bout: excused", { entries: [skin("before", { colour: "slight", pattern: "even" })] }, "excused"],
  ["yesterday's bout asks for the morning check", { entries: [bout("2030-03-04")], now_ms: at(9) }, "morning"],
  ["in the afternoon the morning is over", { entries: [bout("2030-03-04")], now_ms: at(15) }, "bout"],
  ["a bout that was begun goes on", { drafts: BEGUN }, "resume"],
  ["a bout that is being logged is logged first", { drafts: { [`bout:${EPISODE}`]: { step: "log", day: "2030-03-05" } } }, "unlogged"],
  ["a bout counted on a former day is logged first", { drafts: LEFT }, "unlogged"],
  ["also after the program has ended", { drafts: LEFT }, "unlogged", { ...PROGRAM, state: "ended", ended_on: "2030-03-04" }],
  ["a count of this morning goes on", { drafts: { [`bout:${EPISODE}`]: { step: "do", day: "2030-03-05", count: { started_ms: NOON - 5 * 3_600_000 } } } }, "resume"],
  ["Saturday is off", { now_ms: at(12, 9) }, "off"],
  ["a pause", {}, "paused", { ...PROGRAM, pauses: [{ first_day: "2030-03-05", last_day: null }] }],
  ["an ended program", {}, "ended", { ...PROGRAM, state: "ended", ended_on: "2030-03-04" }],
  ["a program to come", {}, "not_started", { ...PROGRAM, revisions: [{ ...REVISION, effective_from: null }] }],
  ["the gap has not passed", { entries: [bout("2030-03-05", "10:00"), skin("after", {}, "2030-03-05", "bout-2030-03-05")] }, "later", { ...PROGRAM, revisions: [{ ...REVISION, bouts_per_day: 2 }] }],
]) {
  test(`today: ${name}`, () => assert.equal(step(given, program), expected));
}

const burn = skin("after", { broken: true });

test("today: a hold comes before everything, and a lift ends it", () => {
  assert.equal(step({ entries: [burn], raised: [burn], drafts: BEGUN }), "held");
  assert.notEqual(step({ entries: [burn], raised: [burn], safety: { placed: [], lifts: [{ covers: [burn.id], lifted_at: "2030-03-05T11:00:00Z" }] } }), "held");
});

test("today: a hold the clinic tells of holds without any entry here", () => {
  const placed = [{ id: "h", entry_id: "elsewhere", scope: "limb", episode_id: EPISODE }];
  assert.equal(step({ safety: { placed, lifts: [] } }), "held");
});

test("a day on which a hold stood is paused, and no absence", () => {
  const lifts = [{ covers: [burn.id], lifted_at: "2030-03-07T09:00:00Z" }];
  const given = facts({ entries: [burn], raised: [burn], safety: { placed: [], lifts }, now_ms: at(15, 12), watermark: "2030-03-12T14:00:00" });
  const status = (day) => dayView(given, PROGRAM, day).status;
  assert.deepEqual(["2030-03-04", "2030-03-05", "2030-03-06", "2030-03-07", "2030-03-08"].map(status),
    ["missed", "paused", "paused", "paused", "missed"]);
});

test("a hold that the clinic dates rests the days the clinic says", () => {
  const placed = [{ id: "h", entry_id: "elsewhere", scope: "limb", episode_id: EPISODE, first_day: "2030-03-06" }];
  const given = facts({ safety: { placed, lifts: [] }, now_ms: at(15, 8), watermark: "2030-03-08T14:00:00" });
  assert.equal(dayView(given, PROGRAM, "2030-03-05").status, "missed");
  assert.equal(dayView(given, PROGRAM, "2030-03-06").status, "paused");
});

test("a pause outside the program's days is a day without a bout due", () => {
  const program = { ...PROGRAM, pauses: [{ first_day: "2030-02-20", last_day: null }], state: "ended", ended_on: "2030-03-04" };
  const status = (day) => dayView(facts({ program }), program, day).status;
  assert.deepEqual(["2030-02-28", "2030-03-04", "2030-03-05"].map(status), ["not_due", "paused", "not_due"]);
});

test("today: a withdrawn bout does not count", () => {
  assert.equal(step({ entries: [{ ...bout("2030-03-05"), withdrawn: true }] }), "bout");
});

test("a day without a log is not called missed before the phone was heard", () => {
  const view = (watermark) => dayView(facts({ watermark, now_ms: at(15, 7) }), PROGRAM, "2030-03-05").status;
  assert.equal(view(null), "not_known_yet");
  assert.equal(view("2030-03-06T11:59:59"), "not_known_yet");
  assert.equal(view("2030-03-06T12:00:00"), "missed");
});

test("of a day before this phone was paired it does not say missed", () => {
  const given = facts({ now_ms: at(15, 8), watermark: "2030-03-08T14:00:00" });
  given.meta.paired_at = "2030-03-07T09:00:00";
  assert.equal(dayView(given, PROGRAM, "2030-03-05").status, "not_known_yet");
  assert.equal(dayView(given, PROGRAM, "2030-03-06").status, "missed"); // it closed at noon of the 7th
});

test("an excused day on which the bout was done after all is done", () => {
  const entries = [skin("before", { colour: "slight", pattern: "even" }), bout("2030-03-05")];
  assert.equal(dayView(facts({ entries }), PROGRAM, "2030-03-05").status, "done");
  assert.equal(dayView(facts({ entries: entries.slice(0, 1) }), PROGRAM, "2030-03-05").status, "paused");
});

test("a bout of 11 of 15 contractions is partly done", () => {
  assert.equal(dayView(facts({ entries: [bout("2030-03-05", "08:00", 11)] }), PROGRAM, "2030-03-05").status, "partly_done");
});

for (const [name, given, expected] of [
  ["nobody logged, in the evening too", { now_ms: at(20) }, "2030-03-04"],
  ["that was said not to be done", { entries: [entry("not_done", { ordinal: 1, reason: "forgot" }, "2030-03-04")] }, "2030-03-04"],
  ["on which a hold stood after the bout", { entries: [skin("after", { broken: true }, "2030-03-04")], raised: [skin("after", { broken: true }, "2030-03-04")] }, "2030-03-04"],
  ["with its bout", { entries: [bout("2030-03-04")] }, null],
  ["without a bout due", { now_ms: at(12, 10) }, null],
]) {
  test(`a log is offered for a yesterday ${name}: ${expected !== null}`, () => assert.equal(yesterdayToLog(facts(given), PROGRAM), expected));
}
