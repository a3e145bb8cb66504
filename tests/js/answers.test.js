// What the count hands to the log.
import assert from "node:assert/strict";
import { test } from "node:test";
import { answersFromCount, answersFromPlan, fillLog } from "../../static/patient/ui/bout-answers.js";

const revision = { contractions_per_bout: 15, bout_min: 15 };
const START = Date.UTC(2030, 2, 4, 22, 50);
const told = (counted, more) =>
  answersFromCount(revision, { started_ms: START, exercises: ["quad_set"], ...counted }, { now_ms: (counted.started_ms ?? START) + counted.ran_ms, offset_min: 60, ended: false, ...more });

test("a bout that was counted to its end is the program's", () => {
  assert.deepEqual(told({ ran_ms: 840_000, finished: 15 }), { started_at: "2030-03-04T23:50", contractions: 15, minutes: 15, exercises: ["quad_set"] });
});

test("the stimulator may be one contraction ahead of the count", () => {
  assert.equal(told({ ran_ms: 800_000, finished: 14 }).contractions, 15);
  assert.equal(told({ ran_ms: 700_000, finished: 13 }).contractions, 13);
});

test("ended early is what was counted, however near the end", () => {
  const { contractions, minutes } = told({ ran_ms: 800_000, finished: 14 }, { ended: true });
  assert.deepEqual([contractions, minutes], [14, 13]);
});

test("a bout of a moment is one minute, and one that ran on is no longer than the program", () => {
  assert.equal(told({ ran_ms: 4_000, finished: 0 }).minutes, 1);
  assert.equal(told({ ran_ms: 9_000_000, finished: 10 }).minutes, 15);
});

test("what was counted until a stop fills the log", () => {
  const program = { ...revision, on_s: 10, off_s: 20, ramp_up_s: 2, ramp_down_s: 1, ramps_inside_on: true, exercises: [{ code: "quad_set" }] };
  const value = { day: "2030-03-04", knee_pain_before: 2, step: "do" };
  const count = { started_ms: START, ran_ms: 200_000, skips: [] };
  fillLog(value, program, { now_ms: START + 200_000, offset_min: 60 }, { count, ended: true });
  const { contractions, minutes, ended, knee_pain_before, discomfort, exercises } = value.answers;
  assert.deepEqual([contractions, minutes, ended, knee_pain_before, discomfort, exercises], [7, 3, true, 2, null, ["quad_set"]]);
  assert.equal(value.step, "log");
});

const MINUTE_MS = 60_000;
const started = (...given) => told(...given).started_at;

test("a count that began past midnight began on the day after", () => {
  assert.equal(started({ started_ms: START + 13 * MINUTE_MS, ran_ms: 840_000, finished: 15 }), "2030-03-05T00:03");
});

test("no count began later than its minutes ago, whatever the clock was set to", () => {
  assert.equal(started({ ran_ms: 840_000, finished: 15 }, { now_ms: START - 46 * MINUTE_MS }), "2030-03-04T22:50");
});

test("lining up with the stimulator moves no start", () => {
  assert.equal(started({ ran_ms: 840_000, finished: 15 }, { now_ms: START + 820_000 }), "2030-03-04T23:50");
});

test("a bout told just after midnight began before it", () => {
  const reading = { now_ms: START + 20 * MINUTE_MS, offset_min: 60 };
  const plan = { ...revision, exercises: [] };
  assert.equal(answersFromPlan(plan, reading).started_at, "2030-03-04T23:55");
  assert.equal(answersFromPlan(plan, reading, "2030-03-04").started_at, "2030-03-04T23:55");
});
