// What a new revision asks otherwise than the one before, as keys of words with
// their values; for the patient, so only what they do or see.
import { addDays } from "./day.js";
import { effectiveRevision } from "./plan.js";

const same = (a, b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);

const number = (key, name) => (was, now) => (same(was[name], now[name]) ? [] : [{ key, values: { was: was[name], now: now[name] } }]);
const plain = (key, names) => (was, now) => (names.every((name) => same(was[name], now[name])) ? [] : [{ key, values: {} }]);

function days(was, now) {
  if (same(was.weekdays, now.weekdays)) return [];
  const counts = { was: was.weekdays.length, now: now.weekdays.length };
  return [counts.was === counts.now ? { key: "differs.other_days", values: {} } : { key: "differs.days", values: counts }];
}

function times(was, now) {
  if (was.on_s === now.on_s && was.off_s === now.off_s) return [];
  return [{ key: "differs.times", values: { on: now.on_s, off: now.off_s } }];
}

const LIMITS = ["start", "floor", "ceiling"];

function intensity(was, now) {
  const unit = now.unit;
  return now.intensity.flatMap((one) => {
    const before = was.intensity.find(({ channel }) => channel === one.channel) ?? {};
    return LIMITS.filter((name) => one[name] !== null && (was.unit !== unit || !same(before[name], one[name])))
      .map((name) => ({ key: `differs.${name}`, values: { channel: one.channel, now: one[name], unit } }));
  });
}

function exercises(was, now) {
  const told = ({ exercises: all }) => new Map(all.map((one) => [one.code, one]));
  const [before, after] = [told(was), told(now)];
  const added = [...after.values()].filter(({ code }) => !before.has(code)).map(({ name }) => ({ key: "differs.exercise_new", values: { name } }));
  const gone = [...before.values()].filter(({ code }) => !after.has(code)).map(({ name }) => ({ key: "differs.exercise_gone", values: { name } }));
  return [...added, ...gone];
}

function stimulator(was, now) {
  return was.stimulator_name === now.stimulator_name ? [] : [{ key: "differs.stimulator", values: { name: now.stimulator_name } }];
}

function gap(was, now) {
  return was.minimum_gap_h === now.minimum_gap_h || !now.minimum_gap_h ? [] : [{ key: "differs.gap", values: { count: now.minimum_gap_h } }];
}

const PARTS = [
  number("differs.bouts", "bouts_per_day"), gap, days, number("differs.contractions", "contractions_per_bout"), number("differs.minutes", "bout_min"), times,
  intensity, exercises, plain("differs.pads", ["pads"]), plain("differs.position", ["position", "knee_angle_deg", "knee_range"]), stimulator,
  plain("differs.settings", ["frequency_hz", "phase_duration_us", "waveform", "ramp_up_s", "ramp_down_s", "voluntary_in_off"]),
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
