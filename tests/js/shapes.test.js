// A day's status is told by a shape and a word; colour only goes along with them.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { say, useWords } from "../../static/patient/model/strings.js";
import { dayShape } from "../../static/patient/ui/shapes.js";

const read = (path) => JSON.parse(readFileSync(new URL(`../../${path}`, import.meta.url), "utf8"));
const RULES = read("fixtures/rules/day_status.json");
const STATUSES = ["done", "partly_done", "not_done", "still_open", "missed", "not_known_yet", "paused", "not_due"];

// As much of a document as a drawing needs.
class Part {
  constructor(name) { Object.assign(this, { name, attributes: {}, parts: [] }); }
  setAttribute(key, value) { this.attributes[key] = String(value); }
  append(...parts) { this.parts.push(...parts.flat(9)); }
  get drawn() {
    const { class: _, ...geometry } = this.attributes;
    return JSON.stringify([this.name, this.name === "svg" ? {} : geometry, this.parts.map(({ drawn }) => drawn)]);
  }
}
globalThis.document = { createElementNS: (_, name) => new Part(name) };

test("every status has a shape and a word of its own", () => {
  const shapes = STATUSES.map((status) => dayShape(status).drawn);
  assert.equal(new Set(shapes).size, STATUSES.length);
  for (const language of ["en", "es"]) {
    useWords(read(`static/patient/words/${language}.json`));
    assert.equal(new Set(STATUSES.map((status) => say(`status.${status}`))).size, STATUSES.length);
  }
});

test("the rules know no status that has no shape", () => {
  const told = new Set(JSON.stringify(RULES).match(/"(?:status|expected)":"(\w+)"/g)?.map((one) => one.split('"')[3]));
  assert.ok(told.size >= 5);
  assert.deepEqual([...told].filter((status) => !STATUSES.includes(status)), []);
});
