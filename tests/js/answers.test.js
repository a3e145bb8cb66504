// What the count hands to the log.
import assert from "node:assert/strict";
import { test } from "node:test";
import { answersFromCount, fillLog } from "../../static/patient/ui/bout-answers.js";

const revision = { contractions_per_bout: 15, bout_min: 15 };
const START = Date.UTC(2030, 2, 4, 22, 50);
const told = (counted, more) =>
  answersFromCount(revision, { started_ms: START, exercises: ["quad_set"], ...counted }, { offset_min: 60, day: "2030-03-04", ended: false, ...more });

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
