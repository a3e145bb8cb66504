// Days on which the whole clinic is closed, as it told this phone; by the clinic's
// own calendar, wherever the patient is.

function dayIn(zone, ms) {
  const format = new Intl.DateTimeFormat("en", { timeZone: zone, year: "numeric", month: "2-digit", day: "2-digit" });
  const part = Object.fromEntries(format.formatToParts(ms).map(({ type, value }) => [type, value]));
  return `${part.year}-${part.month}-${part.day}`;
}

// The closure of this moment, or null.
export function closedAt(texts, ms) {
  if (!texts?.closed) return null;
  const { zone, days } = texts.closed;
  const today = dayIn(zone, ms);
  return days.find(({ first_day, last_day }) => first_day <= today && today <= last_day) ?? null;
}
