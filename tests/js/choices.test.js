// The small settings of one phone.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Choices, DEFAULTS } from "../../static/patient/store/choices.js";

function shelf(first = {}) {
  const kept = new Map(Object.entries(first));
  return { getItem: (key) => kept.get(key) ?? null, setItem: (key, value) => kept.set(key, value) };
}
const names = Object.keys(DEFAULTS);
const all = (choices) => Object.fromEntries(names.map((name) => [name, choices.get(name)]));

test("nothing chosen yet: the defaults, with sound on", () => {
  assert.deepEqual(all(new Choices(shelf())), { ...DEFAULTS });
  assert.equal(new Choices(shelf()).get("sound"), true);
});

test("a choice outlives the page and leaves the others alone", () => {
  const storage = shelf();
  new Choices(storage).set({ sound: false });
  new Choices(storage).set({ text: "large" });
  assert.deepEqual(all(new Choices(storage)), { ...DEFAULTS, sound: false, text: "large" });
});

test("what two tabs choose is kept from both", () => {
  const storage = shelf();
  const [one, other] = [new Choices(storage), new Choices(storage)];
  one.set({ sound: false });
  other.set({ vibration: false });
  assert.deepEqual(all(new Choices(storage)), { ...DEFAULTS, sound: false, vibration: false });
});

for (const [name, kept] of [
  ["half a record", "{\"sound\":fal"], ["nothing at all", "null"], ["a value of another kind", "{\"sound\":\"no\"}"], ["a value that is gone", "{\"sound\":null}"], ["a choice of a newer app", "{\"smell\":true}"],
]) {
  test(`${name} is read as not chosen`, () => {
    assert.deepEqual(all(new Choices(shelf({ "boutwise-choices": kept }))), { ...DEFAULTS });
  });
}

for (const [name, storage] of [
  ["no storage", null],
  ["a storage that throws", { getItem() { throw new Error("closed"); }, setItem() { throw new Error("full"); } }],
]) {
  test(`${name}: a choice lasts as long as the page`, () => {
    const choices = new Choices(storage);
    choices.set({ sound: false });
    assert.equal(choices.get("sound"), false);
  });
}
