// Between a bout's form and its payload.
import { cleanText } from "../model/check.js";
import { localTime, momentOf } from "../model/day.js";
import { phaseAt } from "../model/phase.js";
import { exercisesDone } from "../model/shares.js";

const MINUTE_MS = 60_000;

const blank = { discomfort: null, knee_pain_before: null, knee_pain_after: null, early: null, ended: false, note: "", intensity: {} };

// A form filled from the program; the start is taken as "just now, minus its length",
// of a former `day` at the same time.
export function answersFromPlan(revision, { now_ms, offset_min }, day) {
  const started = localTime(now_ms - revision.bout_min * MINUTE_MS, offset_min).slice(0, 16);
  return {
    ...blank, intensity: {},
    started_at: day ? `${day}T${started.slice(11)}` : started,
    contractions: revision.contractions_per_bout,
    minutes: revision.bout_min,
    exercises: revision.exercises.map(({ code }) => code),
  };
}

const early = (ran_ms, bout_min) => Math.min(Math.max(1, Math.round(ran_ms / MINUTE_MS)), bout_min);

// What the count saw. The stimulator may be a contraction ahead of it: who says
// "finished" in the last one has done them all.
export function answersFromCount(revision, { started_ms, ran_ms, finished, exercises }, { now_ms, offset_min, ended }) {
  const { contractions_per_bout: total, bout_min } = revision;
  const latest = now_ms - ran_ms; // a clock that was put back
  const began_ms = started_ms - latest > MINUTE_MS ? latest : started_ms;
  const whole = !ended && finished >= total - 1;
  return {
    started_at: localTime(began_ms, offset_min).slice(0, 16),
    contractions: whole ? total : finished,
    minutes: whole ? bout_min : early(ran_ms, bout_min),
    exercises,
  };
}

export function countedOf(revision, { started_ms, ran_ms, skips }) {
  const { finished } = phaseAt(revision, ran_ms / 1000);
  return { started_ms, ran_ms, finished, exercises: exercisesDone(revision, skips, finished) };
}

// What was counted fills the log; the patient confirms or corrects it there.
export function fillLog(value, revision, reading, { count, ended }) {
  const counted = count && answersFromCount(revision, countedOf(revision, count), { ...reading, ended });
  value.answers = { ...answersFromPlan(revision, reading), ...counted, knee_pain_before: value.knee_pain_before, ended };
  value.step = "log";
}

export function answersFromPayload(payload) {
  return {
    ...blank, ...payload,
    early: payload.ended_early ?? "no",
    note: payload.note ?? "",
    intensity: Object.fromEntries(payload.intensity.map(({ channel, value }) => [channel, value])),
  };
}

// For a form: what a time means for its bout of `day`.
export const momentsFor = ({ clock }, { started_at: start }, day) => (time) => {
  const { now_ms, offset_min } = clock.reading();
  return momentOf(time, { start, day, now: localTime(now_ms, offset_min).slice(0, 16) });
};

export function payloadOf(value, revision) {
  const note = cleanText(value.note ?? "");
  return {
    started_at: value.started_at,
    ended_early: value.early === "no" ? null : value.early,
    minutes: value.minutes,
    contractions: Math.round(value.contractions),
    intensity: revision.intensity.map(({ channel }) => ({ channel, value: value.intensity[channel], unit: revision.unit })),
    exercises: value.exercises,
    discomfort: value.discomfort,
    knee_pain_before: value.knee_pain_before,
    knee_pain_after: value.knee_pain_after,
    ...(note ? { note } : {}),
  };
}
