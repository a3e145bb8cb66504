// What the phone asks of the patient now, one step per program.
import { isBrokenOff } from "./begun.js";
import { addDays, addHours, closesAt, localDay, localTime } from "./day.js";
import { allHolds, holdsOn } from "./hold.js";
import { morningDue } from "./morning.js";
import { boutIsDone, comingRevision, effectiveRevision, nextBout, pauseOn } from "./plan.js";
import { restsTheSpot } from "./skin.js";
import { dayRow, dayStatus } from "./status.js";

const AFTER_CHECK_H = 12;

export function entriesOf(facts, program, day) {
  return facts.entries.filter((entry) =>
    !entry.withdrawn && entry.episode_id === program.episode.id && (!day || entry.for_date === day));
}

const kindOf = (entries, kind) => entries.filter((entry) => entry.kind === kind);
const startOf = ({ payload }) => payload.started_at;

export function lastBout(facts, program) {
  const bouts = kindOf(entriesOf(facts, program), "bout");
  return bouts.sort((a, b) => startOf(a).localeCompare(startOf(b))).at(-1) ?? null;
}

const endOf = ({ payload }) => addHours(payload.started_at, payload.minutes / 60);

// A bout whose skin nobody has looked at since, while it is still of use.
export function uncheckedBout(facts, program, now) {
  const checks = kindOf(entriesOf(facts, program), "skin_check");
  const seen = new Set(checks.filter(({ payload }) => payload.moment === "after").map(({ payload }) => payload.bout_id));
  const bout = lastBout(facts, program);
  if (!bout || seen.has(bout.id)) return null;
  return addHours(endOf(bout), AFTER_CHECK_H) >= now.slice(0, 16) ? bout : null;
}

function stepOf(view) {
  if (view.holds.length) return "held";
  if (view.after) return "after";
  if (view.broken) return "unlogged";
  if (view.program.state === "ended" && view.next.due === 0) return "ended";
  if (!view.revision) return "not_started";
  if (view.morning) return "morning";
  if (view.begun) return "resume";
  if (view.excused) return "excused";
  if (view.pause) return "paused";
  if (view.next.due === 0) return "off";
  if (view.next.ordinal === null) return view.whole >= view.next.due ? "done" : "answered";
  return view.next.not_before && view.next.not_before > view.now.slice(0, 16) ? "later" : "bout";
}

// Of those that were logged; one that ended early is told, but not done.
function wholeBouts(bouts, revision) {
  return bouts.filter(({ payload }) => revision && boutIsDone(payload.contractions, revision.contractions_per_bout)).length;
}

// Everything a screen says about one program today.
export function programToday(facts, program) {
  const { day, now } = facts;
  const today = entriesOf(facts, program, day);
  const last = lastBout(facts, program);
  const revision = effectiveRevision(program, day);
  const holds = holdsOn(facts.holds, program.episode.id).filter(({ lifted }) => !lifted);
  const begun = facts.drafts[`bout:${program.episode.id}`];
  const view = {
    program, day, now, last, revision,
    limb: program.episode.limb,
    whole: wholeBouts(kindOf(today, "bout"), revision),
    coming: comingRevision(program, day),
    pause: pauseOn(program, day),
    holds, begun,
    broken: begun?.step === "log" || (begun && isBrokenOff(begun, facts, holds.length > 0)),
    morning: morningDue(entriesOf(facts, program), day, now),
    after: uncheckedBout(facts, program, now),
    excused: kindOf(today, "skin_check").some(({ payload }) => restsTheSpot(payload)),
    next: nextBout({
      program, day, lastEnd: last && endOf(last),
      bouts: kindOf(today, "bout").length, notDone: kindOf(today, "not_done").length,
    }),
  };
  return { ...view, step: stepOf(view) };
}

// Of a day that closed before this phone was paired it cannot tell: another
// phone may still hold the log.
function watermarkFor({ paired_at = "", watermark = null }, day) {
  return closesAt(day) > paired_at ? watermark : null;
}

export function dayView(facts, program, day) {
  const entries = entriesOf(facts, program, day);
  const row = dayRow(program, day, entries, holdsOn(facts.holds, program.episode.id));
  const status = dayStatus({ row, day, now: facts.now, watermark: watermarkFor(facts.meta, day) });
  return { day, row, status, bouts: kindOf(entries, "bout").length };
}

// Yesterday while a bout of it can be missing: told late it counts all the same,
// whatever was said of that day before.
export function yesterdayToLog(facts, program) {
  const { day, row } = dayView(facts, program, addDays(facts.day, -1));
  return row.done_bouts < row.due_bouts ? day : null;
}

// The facts of this moment from what the store holds.
export function factsOf({ reading, meta, texts, programs, safety, entries, raised, drafts }) {
  const day = localDay(reading.now_ms, reading.offset_min);
  const dayOf = (moment) => localDay(Date.parse(moment), reading.offset_min);
  return {
    day, meta, texts, entries, drafts,
    now_ms: reading.now_ms, now: localTime(reading.now_ms, reading.offset_min),
    holds: allHolds({ entries: raised, placed: safety.placed, lifts: [...safety.lifts, ...(meta.releases ?? [])], dayOf }),
    programs: programs.filter(({ state, ended_on }) => state === "active" || addDays(ended_on ?? day, 28) >= day),
  };
}
