// The one word for a day. Shared cases: fixtures/rules/day_status.json.
import { closesAt } from "./day.js";
import { boutIsDone, covers, effectiveRevision, pauseOn, prescribedBouts, runsOn } from "./plan.js";
import { restsTheSpot } from "./skin.js";

// First that applies. `row` holds counts only; `watermark` is the wall time up
// to which nothing was left unsent, or null. "missed" needs it, else the phone
// would blame a patient for what it simply does not know.
export function dayStatus({ row, day, now, watermark }) {
  if (row.paused) return "paused";
  if (row.due_bouts === 0) return "not_due";
  if (row.done_bouts >= row.due_bouts) return "done";
  if (row.done_bouts + row.partial_bouts > 0) return "partly_done";
  if (row.not_done_bouts > 0) return "not_done";
  if (now < closesAt(day)) return "still_open";
  return watermark !== null && watermark >= closesAt(day) ? "missed" : "not_known_yet";
}

function contractionsAsked(program, entry, day) {
  const own = program.revisions.find(({ id }) => id === entry.revision_id);
  return (own ?? effectiveRevision(program, day))?.contractions_per_bout ?? 0;
}

// Counts of one day for one program from its current (not withdrawn) entries.
// `holds` = those of its limb: a day on which no bout was allowed is no absence.
export function dayRow(program, day, entries, holds) {
  const ofKind = (kind) => entries.filter((entry) => entry.kind === kind);
  const bouts = ofKind("bout");
  const done = bouts.filter((bout) =>
    boutIsDone(bout.payload.contractions, contractionsAsked(program, bout, day)));
  const excused = ofKind("skin_check").some(({ payload }) => restsTheSpot(payload));
  const rested = pauseOn(program, day) !== null || holds.some((hold) => covers(hold, day));
  return {
    paused: (rested && runsOn(program, day)) || (excused && done.length === 0),
    due_bouts: prescribedBouts(program, day),
    done_bouts: done.length,
    partial_bouts: bouts.length - done.length,
    not_done_bouts: ofKind("not_done").length,
  };
}
