// The code that ends a hold's waiting on a phone without a network.
import assert from "node:assert/strict";
import { test } from "node:test";
import { TRIES, WAIT_MS, afterWrong, coveredBy, digitsOf, isWhole, releaseCode, waitLeft } from "../../static/patient/model/release.js";

const KEY = "ab".repeat(32);
const standing = ["e1", "e2", "e3"];

test("a code ends exactly the holds it was made for", async () => {
  for (const ids of [["e1"], ["e2", "e3"], ["e3", "e1", "e2"]]) {
    const typed = await releaseCode(KEY, ids);
    assert.deepEqual(await coveredBy({ key: KEY, typed, standing }), [...ids].sort());
  }
});

test("a code used once fits nothing any more, nor a hold raised later", async () => {
  const typed = await releaseCode(KEY, ["e1"]);
  assert.deepEqual(await coveredBy({ key: KEY, typed, standing: ["e1", "e4"] }), ["e1"]);
  assert.equal(await coveredBy({ key: KEY, typed, standing: ["e4"] }), null);
  assert.equal(await coveredBy({ key: KEY, typed, standing: [] }), null);
});

test("another phone's code fits nothing", async () => {
  const typed = await releaseCode("cd".repeat(32), ["e1"]);
  assert.equal(await coveredBy({ key: KEY, typed, standing }), null);
});

test("with many holds the whole and single ones are found", async () => {
  const many = Array.from({ length: 12 }, (_, at) => `h${at}`);
  for (const ids of [many, ["h7"]]) {
    assert.deepEqual(await coveredBy({ key: KEY, typed: await releaseCode(KEY, ids), standing: many }), ids);
  }
});

test("spaces and wide digits are read", () => {
  assert.equal(digitsOf("1234 ５６78"), "12345678");
  assert.ok(isWhole("1234-5678"));
  assert.ok(!isWhole("1234 567"));
});

test("five wrong codes make it wait, and a clock set back makes that no longer", () => {
  let tries = null;
  for (let n = 1; n < TRIES; n += 1) {
    tries = afterWrong(tries, 1_000);
    assert.equal(waitLeft(tries, 1_000), 0);
  }
  tries = afterWrong(tries, 1_000);
  assert.equal(waitLeft(tries, 1_000), WAIT_MS);
  assert.equal(waitLeft(afterWrong(tries, 1_001), 1_001), WAIT_MS - 1); // begun in another tab before
  assert.equal(waitLeft(tries, 1_000 + WAIT_MS), 0);
  assert.equal(waitLeft(tries, -9_000_000_000), WAIT_MS);
  assert.equal(afterWrong(tries, 1_000 + WAIT_MS).count, 1);
});
