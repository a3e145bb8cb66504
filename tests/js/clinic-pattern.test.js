// The drawn pattern and the week: literal corners, and the cases the server draws too.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { pattern, patternPoints, patternWords, weekColumns, weekWords } from "../../static/clinic/pattern.js";

const INSIDE = { on_s: 10, off_s: 50, ramp_up_s: 2, ramp_down_s: 1, ramps_inside_on: true };
const { patterns, weeks } = JSON.parse(readFileSync(new URL("../../fixtures/desk/drawings.json", import.meta.url)));

test("ramps inside the on time leave a shorter plateau and the same cycle", () => {
  assert.deepEqual(pattern(INSIDE, 1), [[0, 0], [2, 1], [9, 1], [10, 0], [60, 0]]);
});

test("ramps outside the on time lengthen the cycle", () => {
  assert.deepEqual(pattern({ ...INSIDE, ramps_inside_on: false }, 1), [[0, 0], [2, 1], [12, 1], [13, 0], [63, 0]]);
});

test("ramps longer than the on time that holds them draw nothing", () => {
  assert.deepEqual(pattern({ ...INSIDE, ramp_up_s: 12 }), []);
});

test("the words carry every number of the picture", () => {
  assert.equal(patternWords(INSIDE), "Two cycles to scale: 2 s up, 7 s plateau, 1 s down, then 50 s off; a cycle takes 60 s. The ramps are inside the on time.");
});

test("a day without a bout has no block and counts nothing", () => {
  const [monday, tuesday] = weekColumns([0], 2, 15);
  assert.equal(monday.blocks.length, 2);
  assert.equal(monday.count, 30);
  assert.deepEqual([tuesday.blocks, tuesday.count], [[], 0]);
});

test("six bouts a day still fit under their count", () => {
  const [monday] = weekColumns([0], 6, 10);
  assert.ok(monday.countY > 10);
  assert.ok(monday.blocks.every(({ height }) => height > 5));
});

for (const { timing, points, words } of patterns) {
  test(`the server draws the same pattern: ${words}`, () => {
    assert.equal(patternPoints(timing), points);
    assert.equal(patternWords(timing), words);
  });
}

for (const { weekdays, bouts, contractions, words, blocks } of weeks) {
  test(`the server draws the same week: ${words}`, () => {
    assert.equal(weekWords(weekdays, bouts, contractions), words);
    assert.deepEqual(weekColumns(weekdays, bouts, contractions).flatMap((day) => day.blocks.map(({ x, y, height }) => [x, y, height])), blocks);
  });
}
