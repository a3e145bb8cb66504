// When the intensity of last time no longer holds: after days off, and when
// pads or stimulator are not those of the last bout (homeprogram/calc/first_dose.py).
import { daysBetween } from "./day.js";
import { lastBout } from "./today.js";

export const DAYS_OFF = 7;
const VOIDING = ["stimulator_name", "unit", "pads", "electrode_cm2"];

const differs = (one, other) => VOIDING.some((name) => JSON.stringify(one[name]) !== JSON.stringify(other[name]));

// {why: "first" | "days_off" | "changed" | null, days, last}. Days count from
// the last bout this phone knows of; `last` is null where its figures are void.
export function startLow(facts, program, revision) {
  const last = lastBout(facts, program);
  if (!last) return { why: "first", days: null, last: null };
  const days = daysBetween(last.for_date, facts.day);
  const before = program.revisions.find(({ id }) => id === last.revision_id);
  if (before && differs(before, revision)) return { why: "changed", days, last: null };
  return { why: days >= DAYS_OFF ? "days_off" : null, days, last };
}
