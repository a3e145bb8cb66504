import assert from "node:assert/strict";
import { test } from "node:test";
import { narrowest } from "../../static/patient/model/clock.js";

// A round whose request and answer took `there` and `back` ms, on a phone whose
// clock is `behind` ms behind the clinic's. All numbers are made up.
const round = (at, { there = 50, back = 50, behind = 0 }) =>
  ({ sent_ms: at, got_ms: at + there + back, server_ms: at + there + behind });

function afterRounds(rounds) {
  let told = { intervals: [] };
  for (const one of rounds) told = narrowest(told.intervals, one);
  return told;
}

test("one round tells the offset to half of what is unknown", () => {
  const { off_ms, intervals } = afterRounds([round(0, { there: 100, back: 300, behind: 5_000 })]);
  assert.deepEqual({ off_ms, intervals }, { off_ms: 4_900, intervals: [[4_700, 5_100]] });
});

test("a quick round is believed more than the slow ones around it", () => {
  const slow = { there: 100, back: 9_900, behind: 60_000 };
  const { off_ms } = afterRounds([round(0, slow), round(20_000, { there: 10, back: 10, behind: 60_000 }), round(40_000, slow)]);
  assert.equal(off_ms, 60_000);
});

test("ten rounds are remembered and no more", () => {
  const many = Array.from({ length: 25 }, (_, at) => round(at * 1_000, {}));
  assert.equal(afterRounds(many).intervals.length, 10);
});

test("once the clock is set, what was measured before counts no more", () => {
  const { off_ms, intervals } = afterRounds([round(0, { behind: 400_000 }), round(60_000, { behind: 400_000 }), round(120_000, { there: 200, back: 200 })]);
  assert.equal(intervals.length, 1);
  assert.equal(off_ms, 0);
});

test("a clock set back while the answer was awaited tells nothing", () => {
  const before = afterRounds([round(0, { behind: 1_000 })]);
  const after = narrowest(before.intervals, { sent_ms: 100_000, got_ms: 40_000, server_ms: 101_000 });
  assert.deepEqual(after, before);
});

test("without any round there is no estimate", () => {
  assert.deepEqual(narrowest([], { sent_ms: 2, got_ms: 1, server_ms: 0 }), { intervals: [], off_ms: null });
});

test("the true offset lies within what is told, whatever the two ways took", () => {
  for (let behind = -600_000; behind <= 600_000; behind += 37_003) {
    const ways = [[1, 900], [900, 1], [40, 60], [3_000, 20], [5, 5]];
    const { intervals } = afterRounds(ways.map(([there, back], at) => round(at * 10_000, { there, back, behind })));
    assert.ok(intervals.every(([low, high]) => low <= behind && behind <= high));
  }
});
