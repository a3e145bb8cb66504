// A form that was begun and left. Hours later its answers about skin, knee or
// what is wrong say nothing about now, and it begins empty. What was counted or
// is being logged did happen: that stays, but it goes on only on its own day.
import { countIn } from "./count.js";

const FRESH_MS = 3 * 3_600_000; // common practice, no source

// A count that cannot go on: its limb is held, or its day has long passed.
export function isBrokenOff(value, { day, now_ms }, held) {
  const count = value.step !== "log" && countIn(value);
  return Boolean(count) && (held || (value.day !== day && now_ms - count.started_ms > FRESH_MS));
}

export function formStands({ begun_ms, count, started_ms, answers }, now_ms) {
  return Boolean(count || started_ms || answers) || Math.abs(now_ms - begun_ms) <= FRESH_MS;
}
