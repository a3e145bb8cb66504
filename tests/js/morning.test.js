// What a check makes the phone say at once.
import assert from "node:assert/strict";
import { test } from "node:test";
import { asksToAct } from "../../static/patient/model/morning.js";
import { UNCHANGED } from "../../static/patient/model/skin.js";

const skin = (moment, facts) => ({ moment, pads: [{ pad: "upper_outer", facts: { ...UNCHANGED, ...facts } }] });

for (const [name, payload, expected] of [
  ["much swelling", { swelling: "much", knee_pain: 0 }, true],
  ["knee pain 7 of 10", { swelling: "none", knee_pain: 7 }, true],
  ["some swelling and knee pain 6", { swelling: "some", knee_pain: 6 }, false],
  ["a bout with knee pain 7 after it", { knee_pain_before: 2, knee_pain_after: 7 }, true],
  ["a bout with knee pain 6 after it, 8 before", { knee_pain_before: 8, knee_pain_after: 6 }, false],
  ["skin that itches before a bout", skin("before", { itchy: true }), true],
  ["skin that is sore before a bout", skin("before", { sore: true }), true],
  ["skin as it should be", skin("before", {}), false],
]) {
  test(`what to do is told after a check: ${name}`, () => assert.equal(asksToAct(payload), expected));
}
