// When the intensity of last time no longer holds: after days off, and when
// pads or stimulator are not those of the last bout (homeprogram/calc/first_dose.py).
import { daysBetween } from "./day.js";
import { entriesOf, lastBout } from "./today.js";

export const DAYS_OFF = 7;
const VOIDING = ["stimulator_name", "unit", "pads", "electrode_cm2"];

const differs = (one, other) => VOIDING.some((name) => JSON.stringify(one[name]) !== JSON.stringify(other[name]));

// A set that was told as new after the last bout. On one day the ids tell which
// came first: they begin with the time.
function newPads(entries, last) {
  return entries.some(({ kind, payload, for_date, id }) =>
    kind === "note_to_clinic" && payload.pads === "new" && (for_date > last.for_date || (for_date === last.for_date && id > last.id)));
}

function voided(facts, program, revision, last) {
  const before = program.revisions.find(({ id }) => id === last.revision_id);
  if (before && differs(before, revision)) return "changed";
  return newPads(entriesOf(facts, program), last) ? "new_pads" : null;
}

// {why: "first" | "days_off" | "changed" | "new_pads" | null, days, last}. Days
// count from the last bout this phone knows of; `last` is null where its figures
// are void.
export function startLow(facts, program, revision) {
  const last = lastBout(facts, program);
  if (!last) return { why: "first", days: null, last: null };
  const days = daysBetween(last.for_date, facts.day);
  const why = voided(facts, program, revision, last);
  if (why) return { why, days, last: null };
  return { why: days >= DAYS_OFF ? "days_off" : null, days, last };
}
