// What the patient page asks Chart.js to draw: the numbers as they came, gaps left open.
import assert from "node:assert/strict";
import { test } from "node:test";

import { chartOf, dayWords } from "../../static/clinic/course-draw.js";

const COLOUR = { own: "#1", other: "#2", alarm: "#3", text: "#4", soft: "#5", hair: "#6" };
const DAYS = ["2030-03-03", "2030-03-04", "2030-03-05", "2030-03-06"];
const LIMB = { days: DAYS, marks: [{ day: DAYS[1], kind: "revision", label: "revision 2" }] };
const line = (name, values, end = "") => ({ name, values, end });

function chart(lines, changes = {}) {
  return { code: "x", title: "X", unit: "mA", bars: false, top: 60, goals: [], lines, ...changes };
}

test("values go in as they came: a gap stays null, a nought stays 0", () => {
  const values = [4, null, 0, 2];

  const { data, options } = chartOf(LIMB, chart([line("logged", values)], { bars: true }), COLOUR);

  assert.deepEqual(data.labels, DAYS);
  assert.deepEqual(data.datasets.map((one) => one.data), [values]);
  assert.equal(options.spanGaps, false);
  assert.ok(data.datasets[0].minBarLength > 0);
});

test("there is one scale upwards, from 0", () => {
  const { scales } = chartOf(LIMB, chart([line("channel 1", [1, 2, 3, 4])]), COLOUR).options;

  assert.deepEqual(Object.keys(scales), ["x", "y"]);
  assert.equal(scales.y.min, 0);
  assert.equal(scales.y.suggestedMax, 60);
});

test("a rating always ends at 10", () => {
  const { y } = chartOf(LIMB, chart([line("a", [1, 2, 3, 4])], { unit: "of 10", top: 10 }), COLOUR).options.scales;

  assert.equal(y.max, 10);
});

test("lines differ in shape and dash, not in colour alone", () => {
  const lines = [1, 2, 3, 4].map((n) => line(`channel ${n}`, [n, n, n, n]));

  const looks = chartOf(LIMB, chart(lines), COLOUR).data.datasets;

  for (const name of ["pointStyle", "borderColor"]) {
    assert.equal(new Set(looks.map((one) => one[name])).size, 4, name);
  }
  assert.equal(new Set(looks.map((one) => String(one.borderDash))).size, 4);
});

test("the ends of an error look like the line they belong to and stay out of the legend", () => {
  const lines = [
    line("LSI", [null, 80, null, null]), line("LSI, lowest within error", [null, 73, null, null], "low"),
    line("LSI, highest within error", [null, 87, null, null], "high"), line("EPIC", [null, 70, null, null]),
  ];

  const { data, options } = chartOf(LIMB, chart(lines), COLOUR);

  assert.deepEqual(data.datasets.map((one) => one.borderColor), ["#1", "#1", "#1", "#2"]);
  assert.deepEqual(data.datasets.map((one) => one.data), lines.map((one) => one.values));
  const shown = [0, 1, 2, 3].filter((datasetIndex) => options.plugins.legend.labels.filter({ datasetIndex }));
  assert.deepEqual(shown, [0, 3]);
});

test("only Mondays are written below", () => {
  const axis = { ticks: DAYS.map((_, value) => ({ value })) };
  const { x } = chartOf(LIMB, chart([line("a", [1, 2, 3, 4])]), COLOUR).options.scales;

  x.afterBuildTicks(axis);

  assert.deepEqual(axis.ticks.map(({ value }) => x.ticks.callback(value)), ["4 Mar"]);
  assert.equal(dayWords("2030-12-30"), "30 Dec");
});
