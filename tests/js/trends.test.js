// The pictures of the last weeks.
import assert from "node:assert/strict";
import { test } from "node:test";
import { lastDays } from "../../static/patient/model/day.js";
import { trendPart } from "../../static/patient/ui/trends.js";
import { makePage } from "./page.js";

makePage();

const PROGRAM = { episode: { id: "e" } };
const DAYS = lastDays("2030-03-04", 28);
const bout = (for_date, value) => ({
  id: for_date, kind: "bout", episode_id: "e", for_date, withdrawn: false,
  payload: { started_at: `${for_date}T08:00`, discomfort: 0, intensity: [{ channel: 1, value, unit: "mA" }] },
});

function numbersIn(values, ceiling) {
  const entries = values.map((value, at) => bout(DAYS.at(-1 - at), value));
  const part = trendPart({ entries }, PROGRAM, { unit: "mA", intensity: [{ channel: 1, ceiling }] }, DAYS);
  return part.all.flatMap(({ attributes: { points = "", x = "", y = "" } }) => [points, x, y]).join(" ").split(/[ ,]+/).filter(Boolean).map(Number);
}

for (const [name, values, ceiling] of [["at zero without a ceiling", [0, 0, 0], null], ["at zero below a ceiling", [0, 0], 60], ["that rise", [30, 20, 10], null]]) {
  test(`every point of bouts ${name} has its place in the picture`, () => {
    const numbers = numbersIn(values, ceiling);

    assert.ok(numbers.length > 8);
    assert.deepEqual(numbers.filter((one) => !(one >= 0 && one <= 320)), []);
  });
}
