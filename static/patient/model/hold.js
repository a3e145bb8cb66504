// Which entries hold the bouts, and whether a limb is held now.
// A hold disables starting a bout and never logging. Corrections and
// withdrawals never lift; only the clinic's lift does, by naming entries.
// Shared cases: fixtures/rules/hold.json.
import { changeStops } from "./changes.js";
import { stopsEverything } from "./routes.js";
import { HOLDING_GRADE, checkGrade } from "./skin.js";

const scopeOf = (everything, episodeId) => (everything || !episodeId ? "all" : "limb");

// A correction takes back nothing that its target raised, but one that tells of
// something worse raises a hold of its own, like a fresh entry.
function toldBy({ kind, payload }) {
  if (kind !== "correction") return { kind, payload };
  // A note speaks of pads too, in one word.
  if (Array.isArray(payload.payload.pads)) return { kind: "skin_check", payload: payload.payload };
  if (payload.payload.changed) return { kind: "note_to_clinic", payload: payload.payload };
  return { kind: payload.payload.symptoms ? "stop_report" : kind, payload: payload.payload };
}

// Null, or {entry_id, scope, episode_id, kind, first_day}.
export function holdOf(entry) {
  const { id, episode_id, for_date: first_day } = entry;
  const { kind, payload } = toldBy(entry);
  const hold = (everything) => ({ entry_id: id, scope: scopeOf(everything, episode_id), episode_id, kind, first_day });
  if (kind === "skin_check" && checkGrade(payload) >= HOLDING_GRADE) return hold(false);
  // Damaged since it raised a hold: nobody can say any more for which leg.
  if (kind === "unreadable") return hold(true);
  if (kind === "stop_report") return hold(stopsEverything(payload.symptoms));
  if (kind === "note_to_clinic" && changeStops(payload.changed)) return hold(true);
  return null;
}

// Every hold there ever was; `last_day` is the day it was lifted, or null.
// `entries` are what this phone knows, `placed` the holds the clinic told of,
// `dayOf` gives the patient's day of a moment the clinic told.
export function allHolds({ entries, placed = [], lifts = [], dayOf = () => null }) {
  const raised = entries.map(holdOf).filter(Boolean);
  const byEntry = new Map([...placed, ...raised].map((hold) => [hold.entry_id, hold]));
  return [...byEntry.values()].map((hold) => {
    const lift = lifts.find(({ covers }) => covers.includes(hold.entry_id)) ?? null;
    return { ...hold, lifted: lift !== null, last_day: lift && dayOf(lift.lifted_at) };
  });
}

export function holdsOn(holds, episodeId) {
  return holds.filter((hold) => hold.scope === "all" || hold.episode_id === episodeId);
}
