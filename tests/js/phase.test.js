// Where a bout stands: the current, the cue, what is left.
import assert from "node:assert/strict";
import { test } from "node:test";
import { boutLength_s, cuesOf, cycleOf, linedUp_s, phaseAt } from "../../static/patient/model/phase.js";
import { rolls } from "./chance.js";

const revision = { contractions_per_bout: 3, on_s: 10, off_s: 50, ramp_up_s: 2, ramp_down_s: 1, ramps_inside_on: true, voluntary_in_off: false };
const THREES = { lift_s: 3, hold_s: 3, lower_s: 3 };
const names = (cues) => cues.map(({ cue, from, to }) => `${cue} ${from}-${to}`);

test("ramps inside the on time shorten the plateau, ramps outside lengthen the cycle", () => {
  assert.equal(cycleOf(revision).length_s, 60);
  assert.equal(cycleOf({ ...revision, ramps_inside_on: false }).length_s, 63);
});

for (const [at, phase, cue, left_s, contraction, finished] of [
  [0, "rising", "rising", 2, 1, 0], [1.5, "rising", "rising", 1, 1, 0], [2, "on", "on", 7, 1, 0], [9, "falling", "falling", 1, 1, 0],
  [10, "rest", "rest", 50, 1, 1], [56.9, "rest", "rest", 4, 1, 1], [57, "rest", "ready", 3, 1, 1], [59.9, "rest", "ready", 1, 1, 1],
  [60, "rising", "rising", 2, 2, 1], [129.5, "falling", "falling", 1, 3, 2], [130, "over", "over", 0, 3, 3], [7200, "over", "over", 0, 3, 3],
]) {
  test(`count: ${at} s after the start it is ${cue}`, () => {
    const now = phaseAt(revision, at);
    assert.deepEqual([now.phase, now.cue, now.left_s, now.contraction, now.finished], [phase, cue, left_s, contraction, finished]);
  });
}

test("lift, hold and lower fill the on time, ramps included; what is left of it is the current's", () => {
  assert.deepEqual(names(cuesOf(revision, THREES)), ["lift 0-3", "hold 3-6", "lower 6-9", "falling 9-10", "rest 10-57", "ready 57-60"]);
});

test("where the ramps lie outside, the movement waits for the full current", () => {
  assert.deepEqual(names(cuesOf({ ...revision, ramps_inside_on: false }, THREES)).slice(0, 5),
    ["rising 0-2", "lift 2-5", "hold 5-8", "lower 8-11", "on 11-12"]);
});

test("a movement that is too long ends with the current", () => {
  assert.deepEqual(names(cuesOf(revision, { lift_s: 4, hold_s: 4, lower_s: 4 })).slice(0, 4), ["lift 0-4", "hold 4-8", "lower 8-10", "rest 10-57"]);
});

test("a part of no seconds is no cue", () => {
  assert.deepEqual(names(cuesOf(revision, { lift_s: 5, hold_s: 0, lower_s: 5 })).slice(0, 2), ["lift 0-5", "lower 5-10"]);
});

test("a repetition of one's own lies in the middle of the off time", () => {
  assert.deepEqual(names(cuesOf({ ...revision, voluntary_in_off: true })).slice(3), ["rest 10-30", "alone 30-40", "rest 40-57", "ready 57-60"]);
  assert.deepEqual(names(cuesOf({ ...revision, off_s: 10, voluntary_in_off: true })).slice(3), ["rest 10-12.5", "alone 12.5-17.5", "ready 17.5-20"]);
});

test("each contraction has the tempo of its own exercise", () => {
  const tempoOf = (contraction) => (contraction === 2 ? THREES : null);
  assert.deepEqual([5, 65, 125].map((at) => phaseAt(revision, at, tempoOf).cue), ["on", "hold", "on"]);
});

test("lining up moves the count to the nearest contraction", () => {
  assert.equal(linedUp_s(revision, 63), 60); // the stimulator was three seconds behind
  assert.equal(linedUp_s(revision, 57), 60); // it came on in what we took for rest
  assert.equal(linedUp_s(revision, 12), 0);
  assert.equal(linedUp_s(revision, 900), 120); // one more after our end: the last one again
});

test("in any revision the cues fill the cycle without a gap and the count only goes up", () => {
  const roll = rolls(5);
  for (let world = 0; world < 400; world += 1) {
    const on_s = roll.tenths(1, 60);
    const odd = {
      on_s, off_s: roll.tenths(1, 300), ramp_up_s: roll.tenths(0, on_s / 2), ramp_down_s: roll.tenths(0, on_s / 2),
      ramps_inside_on: roll.one([true, false]), voluntary_in_off: roll.one([true, false]), contractions_per_bout: roll.whole(1, 20),
    };
    const tempo = roll.one([null, { lift_s: roll.tenths(0, 9), hold_s: roll.tenths(0, 9), lower_s: roll.tenths(0, 9) }]);
    const { length_s } = cycleOf(odd);
    const cues = cuesOf(odd, tempo);
    assert.equal(cues[0].from, 0);
    assert.ok(Math.abs(cues.at(-1).to - length_s) < 1e-6);
    cues.slice(1).forEach(({ cue, from }, at) => {
      assert.equal(from, cues[at].to);
      assert.notEqual(cue, cues[at].cue);
    });
    let before = { contraction: 1, finished: 0 };
    const end = boutLength_s(odd);
    for (let ran = 0; ran < end + 5; ran += roll.tenths(0.1, length_s)) {
      const now = phaseAt(odd, ran, () => tempo);
      assert.ok(now.contraction >= before.contraction && now.finished >= before.finished);
      assert.ok(now.finished === now.contraction || now.finished === now.contraction - 1);
      assert.equal(now.cue === "over", ran >= end);
      assert.ok(now.left_s >= (ran < end ? 1 : 0) && now.left_s <= Math.ceil(length_s));
      if (["lift", "hold", "lower"].includes(now.cue)) assert.notEqual(now.phase, "rest");
      if (now.cue === "alone") assert.equal(now.phase, "rest");
      before = now;
    }
    assert.equal(phaseAt(odd, end).finished, odd.contractions_per_bout);
    const lined = linedUp_s(odd, roll.tenths(0, end + 100));
    assert.ok(phaseAt(odd, lined + 1e-6).at_s < 0.001, "a contraction begins there");
  }
});
