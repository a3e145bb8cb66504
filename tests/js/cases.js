// The shared cases of fixtures/rules, as both languages read them.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

export function eachCase(file, act) {
  const address = new URL(`../../fixtures/rules/${file}`, import.meta.url);
  for (const { name, given, expected } of JSON.parse(readFileSync(address, "utf8"))) {
    test(`${file}: ${name}`, async () => assert.deepEqual(await act(given), expected));
  }
}
