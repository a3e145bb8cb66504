// What is due on a day. Shared cases: fixtures/rules/plan.json, bout_done.json.
import { addHours, weekday } from "./day.js";

// The highest-numbered revision in effect on that day, or null.
export function effectiveRevision(program, day) {
  const inEffect = program.revisions.filter(
    ({ effective_from }) => effective_from && effective_from <= day);
  return inEffect.sort((a, b) => b.number - a.number)[0] ?? null;
}

export const covers = ({ first_day, last_day }, day) =>
  first_day <= day && (last_day === null || day <= last_day);

export function pauseOn(program, day) {
  return program.pauses.find((pause) => covers(pause, day)) ?? null;
}

function hasEnded(program, day) {
  return program.state === "ended" && program.ended_on !== null && day > program.ended_on;
}

// True from the day a revision is in effect until the program ends.
export function runsOn(program, day) {
  return effectiveRevision(program, day) !== null && !hasEnded(program, day);
}

// Bouts the revision asks for on that day, pauses left aside.
export function prescribedBouts(program, day) {
  if (!runsOn(program, day)) return 0;
  const revision = effectiveRevision(program, day);
  return revision.weekdays.includes(weekday(day)) ? revision.bouts_per_day : 0;
}

export function dueBouts(program, day) {
  return pauseOn(program, day) ? 0 : prescribedBouts(program, day);
}

// Done from 80 % of the prescribed contractions on, in whole numbers.
export function boutIsDone(contractions, prescribed) {
  return contractions * 10 >= prescribed * 8;
}

// The next bout of a day after `bouts` that were done and `notDone` that were
// told not to be. `lastEnd` is the wall time at which the last one ended, on
// any day, because the gap may cross midnight.
export function nextBout({ program, day, bouts, notDone = 0, lastEnd = null }) {
  const due = dueBouts(program, day);
  const revision = effectiveRevision(program, day);
  const told = bouts + notDone;
  if (!revision || told >= due) return { due, bouts, ordinal: null, not_before: null };
  const gap = revision.minimum_gap_h;
  const notBefore = lastEnd && gap ? addHours(lastEnd, gap) : null;
  return { due, bouts, ordinal: told + 1, not_before: notBefore };
}

// The newest revision that waits for its first day; "your program changes".
export function comingRevision(program, day) {
  const coming = program.revisions.filter(
    ({ effective_from, first_day }) => (effective_from ?? first_day) > day);
  return coming.sort((a, b) => b.number - a.number)[0] ?? null;
}
