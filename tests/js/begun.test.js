import assert from "node:assert/strict";
import { test } from "node:test";
import { formStands, isBrokenOff } from "../../static/patient/model/begun.js";

const HOUR_MS = 3_600_000;
const BEGUN_MS = Date.UTC(2030, 2, 4, 8, 0);
const after = (hours, more = {}) => formStands({ begun_ms: BEGUN_MS, ...more }, BEGUN_MS + hours * HOUR_MS);

test("a form that was left a moment ago goes on as it was", () => assert.equal(after(1), true));

test("a form of this morning says nothing about the evening", () => assert.equal(after(8), false));

test("a clock that was set back makes no form young", () => assert.equal(after(-24), false));

test("a form without its hour, from an older app, is asked again", () => assert.equal(formStands({ step: "before" }, BEGUN_MS), false));

for (const [what, told] of [["was counted", { count: { ran_ms: 1 } }], ["was counted by an older app", { started_ms: BEGUN_MS }], ["is being logged", { answers: {} }]]) {
  test(`a bout that ${what} stays, however old`, () => assert.equal(after(48, told), true));
}

const counted = { step: "do", day: "2030-03-04", count: { started_ms: BEGUN_MS } };
const broken = (hours, day, { held = false, value = counted } = {}) => isBrokenOff(value, { day, now_ms: BEGUN_MS + hours * HOUR_MS }, held);

for (const [what, given, expected] of [
  ["of today goes on, however long it was left", [9, "2030-03-04"], false],
  ["that crosses midnight goes on", [1, "2030-03-05"], false],
  ["of a former day is over", [24, "2030-03-05"], true],
  ["that an older app began on a former day is over", [24, "2030-03-05", { value: { step: "do", day: "2030-03-04", started_ms: BEGUN_MS } }], true],
  ["on a limb that is held is over", [0, "2030-03-04", { held: true }], true],
  ["whose log is open is not broken off again", [24, "2030-03-05", { held: true, value: { ...counted, step: "log" } }], false],
]) {
  test(`a count ${what}`, () => assert.equal(broken(...given), expected));
}

test("a bout that was not begun cannot be broken off", () => assert.equal(broken(24, "2030-03-05", { held: true, value: { step: "do" } }), false));
