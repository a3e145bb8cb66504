// Faults of a payload before it is saved: the names of the fields in fault.
// The clinic checks again; this is here so that a slip is mended at once.
import { CHANGED } from "./changes.js";
import { SYMPTOMS } from "./routes.js";

export const ENDED_EARLY = ["pain", "discomfort", "skin", "stimulator", "tired", "interrupted", "other"];
export const NOT_DONE = ["pain", "swelling", "skin", "ill", "stimulator", "pads", "no_time", "forgot", "travel", "other"];
export const SWELLING = ["none", "some", "much"];
export const MOMENTS = ["before", "after", "next_morning"];
export const PAD_NEWS = ["new", "wont_stick"];
export const COLOURS = ["same", "slight", "marked"];
export const MAX = Object.freeze({ note: 1000, text: 2000, reason: 300, minutes: 240, contractions: 600, mA: 200, level: 999 });

const WALL_TIME = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}$/;
const whole = (value, low, high) => Number.isInteger(value) && value >= low && value <= high;
const scale = (value) => whole(value, 0, 10);
const within = (value, high) => typeof value === "number" && value >= 0 && value <= high;
const text = (value, high) => typeof value === "string" && value.trim() !== "" && value.length <= high;
const flags = ["raised", "itchy", "sore", "broken"];

function sound({ channel, value, unit }) {
  return whole(channel, 1, 8) && ["mA", "level"].includes(unit) && within(value, MAX[unit]);
}

// The pattern is asked only where the colour differs.
function answered(facts) {
  const pattern = facts.colour === "same" ? facts.pattern === null : ["even", "patchy"].includes(facts.pattern);
  return COLOURS.includes(facts.colour) && pattern && flags.every((flag) => typeof facts[flag] === "boolean");
}

const RULES = {
  bout: {
    started_at: (p) => WALL_TIME.test(p.started_at ?? ""),
    ended_early: (p) => p.ended_early === null || ENDED_EARLY.includes(p.ended_early),
    minutes: (p) => within(p.minutes, MAX.minutes),
    contractions: (p) => whole(p.contractions, 0, MAX.contractions),
    intensity: (p) => Array.isArray(p.intensity) && p.intensity.length > 0 && p.intensity.every(sound),
    exercises: (p) => Array.isArray(p.exercises) && p.exercises.every((code) => text(code, 40)),
    discomfort: (p) => scale(p.discomfort),
    knee_pain_before: (p) => scale(p.knee_pain_before),
    knee_pain_after: (p) => scale(p.knee_pain_after),
    note: (p) => p.note === undefined || text(p.note, MAX.note),
  },
  skin_check: {
    moment: (p) => MOMENTS.includes(p.moment),
    pads: (p) => Array.isArray(p.pads) && p.pads.length > 0 && p.pads.every(({ facts }) => answered(facts)),
  },
  not_done: {
    ordinal: (p) => whole(p.ordinal, 1, 10),
    reason: (p) => NOT_DONE.includes(p.reason),
  },
  morning_check: {
    swelling: (p) => SWELLING.includes(p.swelling),
    knee_pain: (p) => scale(p.knee_pain),
  },
  stop_report: {
    symptoms: (p) => Array.isArray(p.symptoms) && p.symptoms.length > 0
      && p.symptoms.every((code) => SYMPTOMS.includes(code)),
  },
  note_to_clinic: {
    text: (p) => text(p.text, MAX.text),
    wants_contact: (p) => typeof p.wants_contact === "boolean",
    changed: (p) => p.changed === undefined || (p.changed.length > 0 && p.changed.every((one) => CHANGED.includes(one))),
    pads: (p) => p.pads === undefined || PAD_NEWS.includes(p.pads),
  },
  correction: {
    of: (p) => text(p.of, 36),
    reason: (p) => text(p.reason, MAX.reason),
  },
  withdrawal: {
    of: (p) => text(p.of, 36),
    reason: (p) => text(p.reason, MAX.reason),
  },
};

// Text as the clinic can store it: no NUL and no half of a surrogate pair.
export function cleanText(typed) {
  return typed.replace(/\0|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/g, "").trim();
}

export function faults(kind, payload) {
  return Object.entries(RULES[kind]).filter(([, holds]) => !holds(payload)).map(([field]) => field);
}
