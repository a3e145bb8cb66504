// What a new revision asks otherwise than the one before, as keys of words with
// their values; for the patient, so only what they do or see.
import { addDays } from "./day.js";
import { effectiveRevision } from "./plan.js";

const same = (a, b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);
const line = (key, values = {}) => ({ key: `differs.${key}`, values });

const number = (key, name) => (was, now) => (same(was[name], now[name]) ? [] : [line(key, { was: was[name], now: now[name] })]);
const plain = (key, names) => (was, now) => (names.every((name) => same(was[name], now[name])) ? [] : [line(key)]);

function days(was, now) {
  if (same(was.weekdays, now.weekdays)) return [];
  const counts = { was: was.weekdays.length, now: now.weekdays.length };
  return [counts.was === counts.now ? line("other_days") : line("days", counts)];
}

function times(was, now) {
  if (was.on_s === now.on_s && was.off_s === now.off_s) return [];
  return [line("times", { on: now.on_s, off: now.off_s })];
}

const LIMITS = ["start", "floor", "ceiling"];

function channelLines(one, before, unit, otherUnit) {
  const { channel } = one;
  const moved = LIMITS.filter((name) => !same(before?.[name], one[name]) || (otherUnit && !same(one[name])));
  return [
    ...(before ? [] : [line("channel_new", { channel })]),
    ...moved.map((name) => (same(one[name]) ? line(`${name}_gone`, { channel }) : line(name, { channel, now: one[name], unit }))),
  ];
}

function intensity(was, now) {
  const on = (revision, channel) => revision.intensity.find((one) => one.channel === channel);
  return [
    ...now.intensity.flatMap((one) => channelLines(one, on(was, one.channel), now.unit, was.unit !== now.unit)),
    ...was.intensity.filter(({ channel }) => !on(now, channel)).map(({ channel }) => line("channel_gone", { channel })),
  ];
}

function exerciseLines({ name, how, tempo }, was) {
  const pace = tempo ? line("tempo", { name, lift: tempo.lift_s, hold: tempo.hold_s, lower: tempo.lower_s }) : line("tempo_gone", { name });
  return [
    ...(same([was.name, was.how], [name, how]) ? [] : [line("how", { name, how: how ?? "" })]),
    ...(same(was.tempo, tempo) ? [] : [pace]),
  ];
}

function exercises(was, now) {
  const told = ({ exercises: all }) => new Map(all.map((one) => [one.code, one]));
  const [before, after] = [told(was), told(now)];
  const [kept, stayed] = [[...before.keys()].filter((code) => after.has(code)), [...after.keys()].filter((code) => before.has(code))];
  return [
    ...[...after.values()].filter(({ code }) => !before.has(code)).map(({ name }) => line("exercise_new", { name })),
    ...[...before.values()].filter(({ code }) => !after.has(code)).map(({ name }) => line("exercise_gone", { name })),
    ...stayed.flatMap((code) => exerciseLines(after.get(code), before.get(code))),
    ...(same(kept, stayed) ? [] : [line("order")]),
  ];
}

function stimulator(was, now) {
  return was.stimulator_name === now.stimulator_name ? [] : [line("stimulator", { name: now.stimulator_name })];
}

function gap({ minimum_gap_h: was }, { minimum_gap_h: count }) {
  if ((was || 0) === (count || 0)) return [];
  return [count ? line("gap", { count }) : line("gap_gone")];
}

function voluntary(was, now) {
  if (was.voluntary_in_off === now.voluntary_in_off) return [];
  return [line(now.voluntary_in_off ? "voluntary" : "voluntary_gone")];
}

const PARTS = [
  number("bouts", "bouts_per_day"), gap, days, number("contractions", "contractions_per_bout"), number("minutes", "bout_min"), times,
  intensity, exercises, voluntary, plain("pads", ["pads"]), plain("pad_size", ["electrode_cm2"]), plain("position", ["position", "knee_angle_deg", "knee_range"]), stimulator,
  plain("settings", ["frequency_hz", "phase_duration_us", "waveform", "ramp_up_s", "ramp_down_s", "ramps_inside_on"]),
];

export const differences = (was, now) => PARTS.flatMap((part) => part(was, now));

// The revision in effect on a day with what it changed, or null where it is the
// first, or came before this phone was paired.
export function changeOn(program, day, paired_at) {
  const now = effectiveRevision(program, day);
  const was = now && effectiveRevision(program, addDays(now.effective_from, -1));
  if (!was || now.effective_from <= (paired_at ?? "").slice(0, 10)) return null;
  return { revision: now, differs: differences(was, now) };
}
