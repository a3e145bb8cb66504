// A form that was begun and left. Hours later its answers about skin, knee or
// what is wrong say nothing about now, and it begins empty. What was counted or
// is being logged did happen: that stays.

const FRESH_MS = 3 * 3_600_000; // common practice, no source

export function formStands({ begun_ms, count, started_ms, answers }, now_ms) {
  return Boolean(count || started_ms || answers) || Math.abs(now_ms - begun_ms) <= FRESH_MS;
}
