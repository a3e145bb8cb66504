// Calendar days as text "YYYY-MM-DD": the day as the patient lived it.
// Nothing here asks the browser what day it is, and no day is made from UTC.

const DAY_MS = 86_400_000;
const LATE_H = 12; // a time to come was meant for the evening before; common practice, no source

const atNoon = (day) => Date.parse(`${day}T12:00:00Z`);

export function addDays(day, count) {
  return new Date(atNoon(day) + count * DAY_MS).toISOString().slice(0, 10);
}

export function daysBetween(first, last) {
  return Math.round((atNoon(last) - atNoon(first)) / DAY_MS);
}

// Monday is 0, as the revisions count.
export function weekday(day) {
  return (new Date(atNoon(day)).getUTCDay() + 6) % 7;
}

// The wall clock in the room, "YYYY-MM-DDTHH:MM:SS".
export function localTime(ms, offsetMin) {
  return new Date(ms + offsetMin * 60_000).toISOString().slice(0, 19);
}

export function localDay(ms, offsetMin) {
  return localTime(ms, offsetMin).slice(0, 10);
}

// `count` days ending with `day`, oldest first.
export function lastDays(day, count) {
  return Array.from({ length: count }, (_, at) => addDays(day, at - count + 1));
}

// A day stays open until noon of the next one, so that a late log still counts.
export function closesAt(day) {
  return `${addDays(day, 1)}T12:00:00`;
}

const msOf = (moment) => Date.parse(`${moment}Z`);

// What a time of the clock means for a bout of `day` said to begin at `start`, which
// may lie past midnight; null while it is still to come.
export function momentOf(time, { start, day, now }) {
  const away = (moment) => Math.abs(msOf(moment) - msOf(start));
  const [near] = [start.slice(0, 10), day].map((on) => `${on}T${time}`).sort((a, b) => away(a) - away(b));
  if (near <= now) return near;
  const before = addHours(near, -24);
  return addHours(before, LATE_H) > now ? before : null;
}

// "HH:MM" that lies `hours` after the given wall time, with its day.
export function addHours(time, hours) {
  const ms = Date.parse(`${time.slice(0, 16)}:00Z`) + hours * 3_600_000;
  return new Date(ms).toISOString().slice(0, 16);
}
