// Between a bout's form and its payload.
import { cleanText } from "../model/check.js";
import { localTime } from "../model/day.js";

const MINUTE_MS = 60_000;

const blank = { discomfort: null, knee_pain_before: null, knee_pain_after: null, early: null, ended: false, note: "", intensity: {} };

// A form filled from the program; the start is taken as "just now, minus its length".
export function answersFromPlan(revision, { now_ms, offset_min }, day) {
  const started = localTime(now_ms - revision.bout_min * MINUTE_MS, offset_min).slice(0, 16);
  return {
    ...blank, intensity: {},
    started_at: `${day}T${started.slice(11)}`,
    contractions: revision.contractions_per_bout,
    minutes: revision.bout_min,
    exercises: revision.exercises.map(({ code }) => code),
  };
}

export function answersFromPayload(payload) {
  return {
    ...blank, ...payload,
    early: payload.ended_early ?? "no",
    note: payload.note ?? "",
    intensity: Object.fromEntries(payload.intensity.map(({ channel, value }) => [channel, value])),
  };
}

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
