// Words a patient can read: short sentences, low grade, none absent, none idle.
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { beforeEach, test } from "node:test";
import { fileURLToPath } from "node:url";
import { ENDED_EARLY, NOT_DONE, SWELLING } from "../../static/patient/model/check.js";
import { SYMPTOMS } from "../../static/patient/model/routes.js";
import { say, useWords } from "../../static/patient/model/strings.js";

const ROOT = fileURLToPath(new URL("../../static/patient/", import.meta.url));
const toldIn = (language) => JSON.parse(readFileSync(join(ROOT, "words", `${language}.json`), "utf8"));
const LANGUAGES = readdirSync(join(ROOT, "words")).map((name) => name.replace(".json", ""));
const ENGLISH = toldIn("en");
const KEYS = Object.keys(ENGLISH.words);
beforeEach(() => useWords(ENGLISH));
useWords(ENGLISH);

const code = readdirSync(ROOT, { recursive: true })
  .filter((name) => name.endsWith(".js") && !name.endsWith("strings.js"))
  .map((name) => readFileSync(join(ROOT, name), "utf8")).join("\n");

// Keys are written out, or begun in a template: say(`status.${status}`).
const WHOLE = new Set([...code.matchAll(/["`]([a-z_]+\.\w+)["`]/g)].map(([, key]) => key));
const BEGUN = [...new Set([...code.matchAll(/["`]([a-z_]+\.\w*)\$\{/g)].map(([, start]) => start))];

test("every key that is written out has words", () => {
  const prefixes = new Set(KEYS.map((key) => key.split(".")[0]));
  const named = [...WHOLE].filter((key) => prefixes.has(key.split(".")[0]) && /say\(/.test(code));
  const absent = named.filter((key) => !KEYS.includes(key) && new RegExp(`(say\\(|key|Key|\\? |: |\\[)["\`]${key.replace(".", "\\.")}["\`]`).test(code));
  assert.deepEqual(absent, []);
});

test("every key is used somewhere", () => {
  const idle = KEYS.filter((key) => !WHOLE.has(key) && !BEGUN.some((start) => key.startsWith(start)));
  assert.deepEqual(idle, []);
});

test("every code of the contract has words", () => {
  for (const code of NOT_DONE) assert.ok(say(`reason.${code}`));
  for (const code of ENDED_EARLY) assert.ok(say(`early.${code}`));
  for (const code of SYMPTOMS) assert.ok(say(`symptom.${code}`));
  for (const code of SWELLING) assert.ok(say(`swelling.${code}`));
});

test("an unknown key is a bug and says so", () => {
  assert.throws(() => say("no.such_key"), /no words for no\.such_key/);
});

test("one and more are told apart by the rules of the language", () => {
  assert.equal(say("age.minutes", { count: 1 }), "1 minute ago.");
  assert.equal(say("age.minutes", { count: 2 }), "2 minutes ago.");
  useWords({ language: "ar", words: { "a.b": ["none", "one", "two", "few", "many", "other"] } });
  assert.deepEqual([0, 1, 2, 3, 11, 100].map((count) => say("a.b", { count })), ["none", "one", "two", "few", "many", "other"]);
});

const namesIn = (text) => [...new Set([...text.matchAll(/\{(\w+)\}/g)].map(([, name]) => name))].sort();
const formsOf = (words) => [words].flat();

for (const language of LANGUAGES) {
  test(`${language}: every key has words, with the same values to fill in`, () => {
    const { words } = toldIn(language);
    assert.deepEqual(Object.keys(words), KEYS);
    for (const key of KEYS) {
      assert.ok(formsOf(words[key]).every((form) => form.trim()), `${key} is empty`);
      assert.equal(Array.isArray(words[key]), Array.isArray(ENGLISH.words[key]), `${key} has forms in one language only`);
      for (const form of formsOf(words[key])) assert.deepEqual(namesIn(form), namesIn(formsOf(ENGLISH.words[key]).at(-1)), key);
    }
  });
}

const sentencesOf = (words) => words.split(/(?<=[.?!:])\s+/).filter(Boolean);
const wordsOf = (text) => text.replace(/\{\w+\}/g, "one").match(/[A-Za-z’']+/g) ?? [];

function syllables(word) {
  const plain = word.toLowerCase().replace(/[^a-z]/g, "").replace(/(?:[^laeiouy]es|[^laeiouy]e|[^aeioutd]ed)$/, "");
  return Math.max(1, (plain.match(/[aeiouy]+/g) ?? []).length);
}

// Flesch-Kincaid grade, over all the texts of one area.
function grade(texts) {
  const sentences = texts.flatMap(sentencesOf).filter((one) => wordsOf(one).length > 0);
  const words = sentences.flatMap(wordsOf);
  const sounds = words.reduce((sum, word) => sum + syllables(word), 0);
  return 0.39 * (words.length / sentences.length) + 11.8 * (sounds / words.length) - 15.59;
}

test("the measure tells plain from hard: a canary of each", () => {
  assert.ok(grade(["Take the pads off. Call your clinic today."]) < 2);
  assert.ok(grade(["Discontinue neuromuscular stimulation immediately upon observing dermatological irritation."]) > 12);
});

test("no sentence has more than fifteen words", () => {
  const long = KEYS.flatMap((key) => formsOf(ENGLISH.words[key]).flatMap(sentencesOf)).filter((one) => wordsOf(one).length > 15);
  assert.deepEqual(long, []);
});

// A label of a few words has no grade; sentences and questions have.
const values = new Proxy({}, { get: () => "4" });
const isSpoken = (text) => wordsOf(text).length > 3;
const spokenIn = (area) => KEYS.filter((key) => key.startsWith(`${area}.`)).map((key) => say(key, values)).filter(isSpoken);
for (const area of new Set(KEYS.map((key) => key.split(".")[0]))) {
  const texts = spokenIn(area);
  if (texts.length) test(`${area}: reads at grade 5 or lower`, () => assert.ok(grade(texts) <= 5, `grade ${grade(texts).toFixed(1)}`));
}

test("no per cent and no ratio is shown to a patient", () => {
  assert.deepEqual(KEYS.filter((key) => /%|\d:\d/.test(say(key, { count: 2 }).replace(/^\d+: /, ""))), []);
});

test("a day is said in full", () => {
  assert.equal(say.day("2030-03-04"), "Mon 4 Mar");
});
