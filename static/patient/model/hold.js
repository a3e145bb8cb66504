// Which entries hold the bouts, and whether a limb is held now.
// A hold disables starting a bout and never logging. Corrections and
// withdrawals never lift; only the clinic's lift does, by naming entries.
// Shared cases: fixtures/rules/hold.json.
import { stopsEverything } from "./routes.js";
import { checkGrade } from "./skin.js";

function scopeOfStop(symptoms, episodeId) {
  return stopsEverything(symptoms) || !episodeId ? "all" : "limb";
}

// Null, or {entry_id, scope, episode_id, kind}. A correction that makes things
// worse raises a hold of its own: its payload tells by its shape what it is.
export function holdOf({ id, kind, episode_id, payload }) {
  const facts = kind === "correction" ? payload.payload : payload;
  if (["skin_check", "correction"].includes(kind) && facts.pads && checkGrade(facts) >= 3) {
    return { entry_id: id, scope: "limb", episode_id, kind: "skin_check" };
  }
  if (["stop_report", "correction"].includes(kind) && facts.symptoms) {
    const scope = scopeOfStop(facts.symptoms, episode_id);
    return { entry_id: id, scope, episode_id, kind: "stop_report" };
  }
  return null;
}

// `entries` are what this phone knows, `placed` the holds the clinic told of.
export function activeHolds({ entries, placed = [], lifts = [] }) {
  const lifted = new Set(lifts.flatMap(({ covers }) => covers));
  const raised = entries.map(holdOf).filter(Boolean);
  const byEntry = new Map([...placed, ...raised].map((hold) => [hold.entry_id, hold]));
  return [...byEntry.values()].filter(({ entry_id }) => !lifted.has(entry_id));
}

export function holdsOn(holds, episodeId) {
  return holds.filter((hold) => hold.scope === "all" || hold.episode_id === episodeId);
}
