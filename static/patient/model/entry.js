// One entry: built, checked and frozen. Once frozen it never changes.
import { faults } from "./check.js";
import { localTime } from "./day.js";

export const SCHEMA = 1;
const JUMP_MS = 120_000;

// Wall time that moved otherwise than the running clock since the last entry.
// Another run of the page has another running clock: then only "back" shows.
export function clockChanged(previous, reading) {
  if (!previous) return false;
  const wall = reading.now_ms - previous.now_ms;
  if (previous.run !== reading.run) return wall < -JUMP_MS;
  return Math.abs(wall - (reading.mono_ms - previous.mono_ms)) > JUMP_MS;
}

// Everything but the number, which the store gives in the saving transaction.
export function entryFields({ id, kind, payload, reading, place }) {
  return {
    id,
    phone_id: place.phone_id,
    kind,
    schema: SCHEMA,
    episode_id: place.episode_id ?? null,
    revision_id: place.revision_id ?? null,
    for_date: place.for_date,
    local_time: localTime(reading.now_ms, reading.offset_min),
    offset_min: reading.offset_min,
    zone: reading.zone,
    device_ms: reading.now_ms,
    clock_changed: reading.clock_changed,
    logged_by: place.logged_by,
    payload,
  };
}

// The string that is hashed, stored and sent, byte for byte.
export function freeze(fields, number) {
  return JSON.stringify({ ...fields, number });
}

function said({ id, body }) {
  try {
    const fields = JSON.parse(body);
    return fields.id === id && faults(fields.kind, fields.payload).length === 0 ? fields : null;
  } catch {
    return null;
  }
}

// What a stored row says. One that is damaged, or of a kind this app does not
// know, is shown as such from what stands beside its body; it is sent as it is.
export function thaw(row) {
  const { id, number = 0, episode_id = null, for_date } = row;
  return said(row) ?? {
    id, number, episode_id, for_date, kind: "unreadable", payload: {},
    local_time: `${for_date}T00:00:00`, logged_by: null,
  };
}
