// How far this phone's clock is from the clinic's, from requests and answers.

const KEPT = 10;

const width = ([low, high]) => high - low;
const meets = ([low, high], [from, to]) => low <= to && from <= high;

// `intervals` as this function gave them last, oldest first. The clinic read
// its clock between our two readings, so the offset lies in [server - got,
// server - sent]; the narrowest of the last rounds tells it best. What does not
// meet the newest was measured before a clock was set, and is dropped.
export function narrowest(intervals, { sent_ms, got_ms, server_ms }) {
  const fresh = [server_ms - got_ms, server_ms - sent_ms];
  // Set back while we waited: this round tells nothing.
  const sound = width(fresh) >= 0;
  const kept = sound ? [...intervals.filter((one) => meets(one, fresh)), fresh].slice(-KEPT) : intervals;
  const best = kept.reduce((one, other) => (width(other) < width(one) ? other : one), kept[0] ?? null);
  return { intervals: kept, off_ms: best && Math.round((best[0] + best[1]) / 2) };
}
