// How a photo is made small before it is kept.
import assert from "node:assert/strict";
import { test } from "node:test";
import { SIDE_MOST, fitted, tries } from "../../static/patient/model/picture.js";

test("a large picture keeps its shape and gets the longest side that may be", () => {
  assert.deepEqual(fitted(4000, 3000, SIDE_MOST), { width: 1280, height: 960 });
  assert.deepEqual(fitted(3000, 4000, SIDE_MOST), { width: 960, height: 1280 });
});

test("a small picture is not made larger, and a thin one keeps a pixel", () => {
  assert.deepEqual(fitted(300, 200, SIDE_MOST), { width: 300, height: 200 });
  assert.deepEqual(fitted(9000, 1, SIDE_MOST), { width: 1280, height: 1 });
});

test("first the quality goes down, then the size, and there is an end", () => {
  const all = [...tries(4000, 3000)];
  assert.equal(all[0].width, SIDE_MOST);
  const sizes = all.map(({ width }) => width);
  assert.deepEqual(sizes, [...sizes].sort((a, b) => b - a));
  for (const width of new Set(sizes)) {
    const qualities = all.filter((one) => one.width === width).map(({ quality }) => quality);
    assert.deepEqual(qualities, [...qualities].sort((a, b) => b - a));
  }
  assert.ok(all.length > 10 && all.length < 40);
});
