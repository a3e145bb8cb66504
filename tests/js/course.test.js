// The course of a program on the phone: mornings, changes, pictures.
import assert from "node:assert/strict";
import { test } from "node:test";
import { changeOn, differences } from "../../static/patient/model/differences.js";
import { morningDue } from "../../static/patient/model/morning.js";
import { UNCHANGED } from "../../static/patient/model/skin.js";
import { say } from "../../static/patient/model/strings.js";
import { discomfortOf, intensityOf, trendOf } from "../../static/patient/model/trend.js";
import { makePage } from "./page.js";

const YESTERDAY = "2030-03-04";
const TODAY = "2030-03-05";
const NINE = `${TODAY}T09:00:00`;
const entry = (kind, payload, for_date = YESTERDAY, id = kind) => ({ id, kind, payload, for_date });
const bout = (more = {}, for_date = YESTERDAY) => entry("bout", { started_at: `${for_date}T08:00`, knee_pain_before: 1, knee_pain_after: 1, discomfort: 3, ...more }, for_date, "b1");
const skin = (facts = {}, moment = "after") => entry("skin_check", { bout_id: "b1", moment, pads: [{ pad: "upper_outer", facts: { ...UNCHANGED, ...facts } }] });
const morning = (swelling, knee_pain, for_date = YESTERDAY) => entry("morning_check", { swelling, knee_pain }, for_date);

for (const [name, entries, due] of [
  ["a bout that left nothing asks for no morning check", [bout(), skin()], false],
  ["a bout after which nobody looked at the skin", [bout()], true],
  ["a slight change after the bout", [bout(), skin({ colour: "slight", pattern: "even" })], true],
  ["knee pain of 4 after the bout", [bout({ knee_pain_before: 4, knee_pain_after: 4 }), skin()], true],
  ["knee pain that rose by 2", [bout({ knee_pain_after: 3 }), skin()], true],
  ["knee pain that rose by 1", [bout({ knee_pain_after: 2 }), skin()], false],
  ["swelling yesterday", [morning("some", 0)], true],
  ["no swelling yesterday", [morning("none", 3)], false],
  ["asked already today", [bout(), morning("none", 0, TODAY)], false],
  ["an older bout", [bout({}, "2030-03-03")], false],
]) test(`morning: ${name}`, () => assert.equal(morningDue(entries, TODAY, NINE), due));

test("morning: it is over at two in the afternoon", () => assert.equal(morningDue([bout()], TODAY, `${TODAY}T14:00:00`), false));

const QUAD_SET = { code: "quad_set", name: "Tighten the thigh", how: "Push the knee down.", tempo: { lift_s: 2, hold_s: 5, lower_s: 3 } };
const KICK = { code: "kick", name: "Kick", how: "Straighten the knee." };
const CHANNEL = { channel: 1, start: 20, floor: 30, ceiling: 60 };
const REVISION = {
  id: "r1", number: 1, effective_from: "2030-03-01", weekdays: [0, 2, 4], bouts_per_day: 1, contractions_per_bout: 15, bout_min: 15, on_s: 10, off_s: 50,
  ramp_up_s: 2, ramp_down_s: 1, unit: "mA", intensity: [{ channel: 1, start: 20, floor: 30, ceiling: 60 }], exercises: [QUAD_SET],
  pads: ["upper_outer", "lower_inner"], position: "sitting", knee_angle_deg: 65, knee_range: null, stimulator_name: "Portable", frequency_hz: 50,
  phase_duration_us: 300, waveform: "symmetric_biphasic", voluntary_in_off: false, minimum_gap_h: 4, electrode_cm2: 50, ramps_inside_on: false,
};
const keys = (changes) => differences(REVISION, { ...REVISION, ...changes }).map(({ key }) => key);

test("a revision that is the same differs in nothing", () => assert.deepEqual(keys({ id: "r2", reason: "again" }), []));

for (const [changes, expected] of [
  [{ bouts_per_day: 2 }, ["differs.bouts"]],
  [{ weekdays: [0, 1, 2, 3, 4] }, ["differs.days"]],
  [{ weekdays: [1, 3, 5] }, ["differs.other_days"]],
  [{ contractions_per_bout: 20, bout_min: 20 }, ["differs.contractions", "differs.minutes"]],
  [{ on_s: 12 }, ["differs.times"]],
  [{ intensity: [{ channel: 1, start: 20, floor: 35, ceiling: 60 }] }, ["differs.floor"]],
  [{ unit: "level" }, ["differs.start", "differs.floor", "differs.ceiling"]],
  [{ exercises: [{ code: "leg_raise", name: "Lift the leg" }] }, ["differs.exercise_new", "differs.exercise_gone"]],
  [{ pads: ["upper_inner", "lower_outer"] }, ["differs.pads"]],
  [{ knee_angle_deg: 30 }, ["differs.position"]],
  [{ stimulator_name: "Other" }, ["differs.stimulator"]],
  [{ minimum_gap_h: 6 }, ["differs.gap"]],
  [{ frequency_hz: 75 }, ["differs.settings"]],
  [{ ramps_inside_on: true }, ["differs.settings"]],
  [{ electrode_cm2: 80 }, ["differs.pad_size"]],
  [{ voluntary_in_off: true }, ["differs.voluntary"]],
  [{ minimum_gap_h: 0 }, ["differs.gap_gone"]],
  [{ minimum_gap_h: null }, ["differs.gap_gone"]],
  [{ intensity: [{ ...CHANNEL, ceiling: null }] }, ["differs.ceiling_gone"]],
  [{ intensity: [{ channel: 1 }] }, ["differs.start_gone", "differs.floor_gone", "differs.ceiling_gone"]],
  [{ unit: "level", intensity: [{ ...CHANNEL, floor: null }] }, ["differs.start", "differs.floor_gone", "differs.ceiling"]],
  [{ intensity: [] }, ["differs.channel_gone"]],
  [{ intensity: [CHANNEL, { channel: 2, start: null, floor: null, ceiling: 50 }] }, ["differs.channel_new", "differs.ceiling"]],
  [{ exercises: [{ ...QUAD_SET, tempo: { lift_s: 3, hold_s: 5, lower_s: 3 } }] }, ["differs.tempo"]],
  [{ exercises: [{ ...QUAD_SET, tempo: null }] }, ["differs.tempo_gone"]],
  [{ exercises: [{ ...QUAD_SET, how: "Push it down and hold." }] }, ["differs.how"]],
]) test(`what differs: ${Object.keys(changes)}`, () => assert.deepEqual(keys(changes), expected));

test("exercises in another order differ in that alone", () => {
  const two = { ...REVISION, exercises: [QUAD_SET, KICK] };
  assert.deepEqual(differences(two, { ...two, exercises: [KICK, QUAD_SET] }).map(({ key }) => key), ["differs.order"]);
});

test("whatever differs has its words", () => {
  makePage();
  const all = [{ unit: "level" }, { minimum_gap_h: 0, intensity: [{ channel: 2 }], voluntary_in_off: true, electrode_cm2: 1 }, { intensity: [{ channel: 1 }], exercises: [{ ...QUAD_SET, how: "", tempo: null }, KICK] }];
  const told = all.flatMap((changes) => [...differences(REVISION, { ...REVISION, ...changes }), ...differences({ ...REVISION, ...changes }, REVISION)]);
  assert.ok(told.length > 15);
  for (const { key, values } of told) assert.doesNotMatch(say(key, values), /undefined|null|\{/);
});

test("the numbers of a change are told, old and new", () => {
  assert.deepEqual(differences(REVISION, { ...REVISION, bouts_per_day: 2 })[0].values, { was: 1, now: 2 });
});

const program = (...revisions) => ({ state: "active", ended_on: null, revisions });
const SECOND = { ...REVISION, id: "r2", number: 2, effective_from: "2030-03-04", bouts_per_day: 2 };

test("a change is told of the revision in effect, against the one before it", () => {
  const { revision, differs } = changeOn(program(REVISION, SECOND), "2030-03-09", "2030-02-20T10:00:00");
  assert.equal(revision.id, "r2");
  assert.deepEqual(differs.map(({ key }) => key), ["differs.bouts"]);
});

test("a first program, and one that was so when the phone was paired, are no change", () => {
  assert.equal(changeOn(program(REVISION), "2030-03-09", "2030-02-20T10:00:00"), null);
  assert.equal(changeOn(program(REVISION, SECOND), "2030-03-09", "2030-03-04T10:00:00"), null);
});

test("a trend has its ends, its reach, and gaps where days are missing", () => {
  const days = ["2030-03-02", "2030-03-03", "2030-03-12", "2030-03-13"];
  const bouts = days.map((day, at) => bout({ discomfort: [3, 5, 2, 4][at], intensity: [{ channel: 1, value: 30 + at, unit: at ? "mA" : "level" }] }, day));
  const felt = trendOf([...bouts].reverse(), discomfortOf, "2030-03-01");
  assert.deepEqual([felt.count, felt.first, felt.last, felt.low, felt.high], [4, 3, 4, 2, 5]);
  assert.deepEqual(felt.runs.map((run) => run.map(({ value }) => value)), [[3, 5], [2, 4]]);
  assert.equal(trendOf(bouts, intensityOf(1, "mA"), "2030-03-01").count, 3);
  assert.equal(trendOf(bouts, intensityOf(2, "mA"), "2030-03-01"), null);
});
