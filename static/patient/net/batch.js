// Which entries go into one push, within the limits of count and bytes.

export const LIMITS = Object.freeze({ entries: 250, bytes: 262_144 });
const ENVELOPE_BYTES = 4_096;

const bytesOf = (text) => new TextEncoder().encode(text).length;

// A stop report, and whatever else raised a hold.
export const isUrgent = ({ kind, holding }) => kind === "stop_report" || holding === 1;

const HASH = /^[0-9a-f]{64}$/;
const NO_HASH = "0".repeat(64);

// A damaged row is sent too, in a shape that cannot stop the others: the clinic
// holds it, since no text has that hash.
export const itemOf = ({ body, sha256 }) => ({ body: String(body), sha256: HASH.test(sha256) ? sha256 : NO_HASH });

// The rows from the front of the queue that fit; always at least one, since an
// entry that alone is too big must be tried, not stand in the way for ever.
// What must not wait goes in a small message of its own, ahead of its numbers:
// the clinic names the gap and the next message fills it.
export function fitting(rows, { entries, bytes }) {
  let used = ENVELOPE_BYTES;
  const taken = [];
  const urgent = rows.filter(isUrgent);
  for (const row of (urgent.length ? urgent : rows).slice(0, entries)) {
    used += bytesOf(JSON.stringify(itemOf(row))) + 1;
    if (taken.length && used > bytes) break;
    taken.push(row);
  }
  return taken;
}

// The clinic may ask for less than we would send, never for more.
export function tighter(limits, told) {
  const least = (ours, theirs) => (theirs >= 1 ? Math.min(ours, Math.floor(theirs)) : ours);
  return {
    entries: least(limits.entries, told?.entries),
    bytes: least(limits.bytes, told?.bytes),
  };
}
