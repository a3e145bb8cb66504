// The time a bout has run, whatever happens to page, phone and clock.
import assert from "node:assert/strict";
import { test } from "node:test";
import { advanced, begun, begunBefore, brokenOff, confirmed, goneOn, movedTo, otherRan_ms, paused } from "../../static/patient/model/count.js";
import { rolls } from "./chance.js";

const START = { now_ms: 1_900_000_000_000, mono_ms: 5_000, run: "a" };
const MINUTE = 60_000;
// A reading of two clocks that moved on by so much each.
const later = ({ now_ms, mono_ms, run }, wall, mono = wall) => ({ now_ms: now_ms + wall, mono_ms: mono_ms + mono, run });
const count = begun(START);

for (const [name, reading, away, ran_ms, doubt_ms] of [
  ["both clocks ran", later(START, MINUTE), false, MINUTE, 0],
  ["frozen, and both clocks ran", later(START, 50 * MINUTE), true, 50 * MINUTE, 0],
  ["frozen for longer than any bout", later(START, 120 * MINUTE), true, 120 * MINUTE, -120 * MINUTE],
  ["the phone slept and the page's clock stood still", later(START, 10 * MINUTE, 200), true, 10 * MINUTE, 200 - 10 * MINUTE],
  ["the wall clock was put ahead under the page", later(START, 61 * MINUTE, MINUTE), false, MINUTE, 60 * MINUTE],
  ["the wall clock was put back under the page", later(START, -59 * MINUTE, MINUTE), false, MINUTE, 0],
  ["the wall clock was put back while the page was away", later(START, -59 * MINUTE, MINUTE), true, MINUTE, 0],
  ["the clock was trimmed by a second", later(START, MINUTE + 1_000, MINUTE), false, MINUTE, 0],
  ["the page was killed and started anew", { ...later(START, 3 * MINUTE), mono_ms: 40, run: "b" }, false, 3 * MINUTE, -3 * MINUTE],
  ["killed, and the clock put back meanwhile", { ...later(START, -MINUTE), mono_ms: 40, run: "b" }, false, 0, 0],
]) {
  test(`time: ${name}`, () => {
    const now = advanced(count, reading, away);
    assert.deepEqual([now.ran_ms, now.doubt_ms], [ran_ms, doubt_ms]);
  });
}

test("a pause leaves the count and is kept apart, also through a kill", () => {
  const before = paused(advanced(count, later(START, MINUTE)));
  const killed = advanced(before, { ...later(START, 6 * MINUTE), mono_ms: 9, run: "b" });
  const after = advanced(goneOn(killed), { ...later(START, 8 * MINUTE), mono_ms: 9 + 2 * MINUTE, run: "b" });
  assert.deepEqual([after.ran_ms, after.rested_ms, after.doubt_ms], [3 * MINUTE, 5 * MINUTE, 0]);
});

test("of two readings the patient takes the other one, or this one", () => {
  const slept = advanced(count, later(START, 10 * MINUTE, 1_000), true);
  assert.equal(otherRan_ms(slept), 1_000);
  assert.equal(movedTo(slept, otherRan_ms(slept)).ran_ms, 1_000);
  assert.equal(movedTo(slept, 1_000).doubt_ms, 0);
  assert.deepEqual([confirmed(slept).ran_ms, confirmed(slept).doubt_ms], [10 * MINUTE, 0]);
});

test("a count that an older app began goes on from its start", () => {
  assert.equal(advanced(begunBefore(START.now_ms), later(START, 4 * MINUTE)).ran_ms, 4 * MINUTE);
});

test("however it is looked at, the count is the time that really ran", () => {
  const roll = rolls(11);
  for (let world = 0; world < 300; world += 1) {
    let wallOff = 0; // what the wall clock was set by
    let monoOff = 0; // what the page's clock slept or lost
    let run = 0;
    let real = 0;
    let ran = 0;
    let rested = 0;
    let now = begun(START);
    const look = (away) => { now = advanced(now, { now_ms: START.now_ms + real + wallOff, mono_ms: START.mono_ms + real - monoOff, run: run ? String(run) : "a" }, away); };
    for (let step = 0; step < 30; step += 1) {
      const span = roll.one([100, 200, 1_000, 60_000, 7_200_000]);
      const what = roll.one(["seen", "seen", "frozen", "slept", "set", "set back while away", "killed", "pause"]);
      if (what === "pause") {
        now = now.paused ? goneOn(now) : paused(now);
        continue;
      }
      real += span;
      if (now.paused) rested += span;
      else ran += span;
      if (what === "slept") monoOff += span;
      if (what === "set") wallOff += roll.one([-3_600_000, 3_600_000, 86_400_000]);
      if (what === "set back while away") wallOff -= 3_600_000;
      if (what === "killed") { run += 1; monoOff = real; }
      look(["frozen", "slept", "set back while away"].includes(what));
      assert.deepEqual([now.ran_ms, now.rested_ms], [ran, rested], `${what} in world ${world}`);
    }
  }
});

test("a count that is broken off ran until then", () => assert.equal(brokenOff(count, later(START, 10 * MINUTE)).ran_ms, 10 * MINUTE));

test("one that was left for longer than any bout ran until it was last seen", () => {
  assert.equal(brokenOff(advanced(count, later(START, 3 * MINUTE)), later(START, 90 * MINUTE)).ran_ms, 3 * MINUTE);
});
