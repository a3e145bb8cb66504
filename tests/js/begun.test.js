import assert from "node:assert/strict";
import { test } from "node:test";
import { formStands } from "../../static/patient/model/begun.js";

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
