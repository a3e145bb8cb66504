// When last time's intensity no longer holds.
import assert from "node:assert/strict";
import { test } from "node:test";
import { startLow } from "../../static/patient/model/start-low.js";

const FIRST = { id: "r1", stimulator_name: "A", unit: "mA", pads: ["upper_outer", "lower_inner"], electrode_cm2: 50 };
const program = { episode: { id: "e" }, revisions: [FIRST, { ...FIRST, id: "r2", contractions_per_bout: 20 }, { ...FIRST, id: "r3", pads: ["upper_outer", "lower_outer"] }] };
const [, MORE, MOVED] = program.revisions;
const bout = (day) => ({ id: `${day}-b`, kind: "bout", episode_id: "e", revision_id: "r1", for_date: day, payload: { started_at: `${day}T08:00` } });
const asked = (days, revision = FIRST) => {
  const { why, last } = startLow({ day: "2030-03-20", entries: days.map(bout) }, program, revision);
  return [why, last?.for_date ?? null];
};

test("no bout is known: the first one", () => assert.deepEqual(asked([]), ["first", null]));
test("the day before yesterday", () => assert.deepEqual(asked(["2030-03-10", "2030-03-18"]), [null, "2030-03-18"]));
test("six days ago is not yet a break, seven are", () => {
  assert.deepEqual(asked(["2030-03-14"]), [null, "2030-03-14"]);
  assert.deepEqual(asked(["2030-03-13"]), ["days_off", "2030-03-13"]);
});
test("more contractions on the same pads change nothing", () => assert.deepEqual(asked(["2030-03-19"], MORE), [null, "2030-03-19"]));
test("pads elsewhere void what was found", () => assert.deepEqual(asked(["2030-03-19"], MOVED), ["changed", null]));
test("a bout that was taken back is none", () => {
  const facts = { day: "2030-03-20", entries: [{ ...bout("2030-03-19"), withdrawn: true }] };
  assert.equal(startLow(facts, program, FIRST).why, "first");
});

for (const [name, note, why] of [
  ["told after the last bout", { id: "2030-03-19-a", for_date: "2030-03-19" }, "new_pads"],
  ["told on the day of the last bout, after it", { id: "2030-03-18-c", for_date: "2030-03-18" }, "new_pads"],
  ["told on the day of the last bout, before it", { id: "2030-03-18-a", for_date: "2030-03-18" }, null],
  ["told long ago", { id: "2030-03-10-z", for_date: "2030-03-10" }, null],
  ["that only did not stick", { id: "2030-03-19-a", for_date: "2030-03-19", payload: { pads: "wont_stick" } }, null],
]) {
  test(`new pads ${name}`, () => {
    const told = { kind: "note_to_clinic", episode_id: "e", payload: { pads: "new" }, ...note };
    const low = startLow({ day: "2030-03-20", entries: [bout("2030-03-18"), told] }, program, FIRST);
    assert.deepEqual([low.why, low.last === null], [why, why !== null]);
  });
}
