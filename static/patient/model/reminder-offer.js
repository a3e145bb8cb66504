// When the app offers reminders by itself: after a few bouts, once, and after a
// "not now" not for a month; never where they were stopped.
import { addDays } from "./day.js";

const BOUTS = 3;
const REST_DAYS = 30;

export function offerDue({ push_on = null, push_asked_on = null, push_stopped }, { day, entries }) {
  if (push_on !== null || push_stopped || (push_asked_on && addDays(push_asked_on, REST_DAYS) > day)) return false;
  return entries.filter(({ kind }) => kind === "bout").length >= BOUTS;
}
