// Several exercises share the contractions of a bout.
import assert from "node:assert/strict";
import { test } from "node:test";
import { canSkip, exerciseAt, exercisesDone, sharesOf } from "../../static/patient/model/shares.js";
import { rolls } from "./chance.js";

const of = (codes, total) => ({ contractions_per_bout: total, exercises: codes.map((code) => ({ code, name: code.toUpperCase() })) });
const flat = (revision, skips) => sharesOf(revision, skips).map(({ code, from, to }) => `${code} ${from}-${to}`);
const three = of(["a", "b", "c"], 10);

test("an equal share each in the program's order, the first one more", () => {
  assert.deepEqual(flat(three), ["a 1-4", "b 5-7", "c 8-10"]);
  assert.equal(exerciseAt(three, [], 5).name, "B");
});

test("more exercises than contractions: the last ones have none", () => {
  assert.deepEqual(flat(of(["a", "b", "c"], 2)), ["a 1-1", "b 2-2"]);
});

test("a bout may have no exercise", () => {
  assert.equal(exerciseAt(of([], 5), [], 1), null);
  assert.deepEqual(exercisesDone(of([], 5), [], 5), []);
});

test("a skipped exercise leaves its contractions to those that follow", () => {
  assert.deepEqual(flat(three, [{ code: "a", from: 3 }]), ["a 1-2", "b 3-6", "c 7-10"]);
  assert.deepEqual(flat(three, [{ code: "a", from: 1 }, { code: "b", from: 4 }]), ["b 1-3", "c 4-10"]);
  assert.deepEqual(flat(three, [{ code: "b", from: 5 }]), ["a 1-4", "c 5-10"]);
});

test("where none follows, the earlier ones go on", () => {
  assert.deepEqual(flat(three, [{ code: "c", from: 9 }]), ["a 1-4", "b 5-7", "c 8-8", "a 9-9", "b 10-10"]);
});

test("the last one that is left cannot be skipped", () => {
  assert.equal(canSkip(three, [{ code: "a", from: 1 }]), true);
  assert.equal(canSkip(three, [{ code: "a", from: 1 }, { code: "c", from: 1 }]), false);
  assert.equal(canSkip(of(["a"], 5), []), false);
});

test("done is what was begun and not skipped", () => {
  assert.deepEqual(exercisesDone(three, [], 10), ["a", "b", "c"]);
  assert.deepEqual(exercisesDone(three, [], 5), ["a", "b"]);
  assert.deepEqual(exercisesDone(three, [{ code: "a", from: 3 }], 10), ["b", "c"]);
  assert.deepEqual(exercisesDone(three, [], 0), []);
});

test("whatever is skipped and when, each contraction has one exercise that was not skipped before it", () => {
  const roll = rolls(3);
  for (let world = 0; world < 300; world += 1) {
    const revision = of(["a", "b", "c", "d", "e"].slice(0, roll.whole(1, 5)), roll.whole(1, 40));
    const skips = [];
    for (let at = 1; at <= revision.contractions_per_bout; at += roll.whole(1, 8)) {
      const now = exerciseAt(revision, skips, at);
      if (canSkip(revision, skips) && roll.one([true, false])) skips.push({ code: now.code, from: at });
    }
    let next = 1;
    for (const { code, from, to } of sharesOf(revision, skips)) {
      assert.equal(from, next);
      assert.ok(!skips.some((skip) => skip.code === code && skip.from < from));
      next = to + 1;
    }
    assert.equal(next, revision.contractions_per_bout + 1);
  }
});
