// What the strength page asks the check, from what stands in its fields.
import assert from "node:assert/strict";
import { test } from "node:test";

import { cut, requestOf } from "../../static/clinic/strength.js";

const COURSE = { pathway: "post_operative", start: "2030-03-05", surgery: "2030-02-20" };
const TYPED = {
  on: "2030-03-18",
  unit: "N",
  method: "hand_held_fixed",
  mvic_rule: "best",
  other_limb: "sound",
  evoked_of: "",
  involved_1: "310",
  involved_3: "322.5",
  uninvolved_1: "571",
  lever_arm_m: "0.35",
  body_mass_kg: "",
  preop_uninvolved: "",
  evoked: "",
};

const asked = (changes = {}) => requestOf(new Map(Object.entries({ ...TYPED, ...changes })), COURSE);

test("trials are what was typed, gaps left out", () => {
  assert.deepEqual(asked().involved, [310, 322.5]);
  assert.deepEqual(asked().uninvolved, [571]);
});

test("what is empty is null and never zero", () => {
  const { body_mass_kg, preop_uninvolved, evoked, evoked_of, lever_arm_m } = asked();

  assert.deepEqual([body_mass_kg, preop_uninvolved, evoked, evoked_of], [null, null, null, null]);
  assert.equal(lever_arm_m, 0.35);
});

for (const [on, start, surgery] of [
  ["2030-03-18", 1, 3],
  ["2030-03-19", 2, 3],
  ["2030-03-04", 0, 1],
  ["2030-02-19", 0, null],
]) {
  test(`whole weeks that have passed on ${on}`, () => {
    assert.equal(asked({ on }).weeks_since_start, start);
    assert.equal(asked({ on }).weeks_since_surgery, surgery);
  });
}

test("without surgery there are no weeks since", () => {
  const request = requestOf(new Map(Object.entries(TYPED)), { pathway: "conservative", start: "2030-03-05" });

  assert.equal(request.weeks_since_surgery, null);
});

test("a figure is cut and not rounded", () => {
  assert.equal(cut(79.96), 79.9);
  assert.equal(cut(80), 80);
  assert.equal(cut(1.5299), 1.52);
});
