// The morning after: asked only where the day before left something to look at.
// Thresholds are common practice, no source.
import { addDays } from "./day.js";
import { checkGrade } from "./skin.js";

const MORNING_ENDS = "14:00";
const KNEE_PAIN = 4; // of 10, whatever it was before
const KNEE_PAIN_ROSE = 2;
const KNEE_PAIN_BAD = 7; // as the clinic's flag on pain after a bout

const hurts = ({ knee_pain_before, knee_pain_after }) => knee_pain_after >= KNEE_PAIN || knee_pain_after - knee_pain_before >= KNEE_PAIN_ROSE;

const LEFT = {
  skin_check: (payload) => checkGrade(payload) > 0,
  morning_check: ({ swelling, knee_pain }) => swelling !== "none" || knee_pain >= KNEE_PAIN,
};

const kneeIsBad = ({ swelling, knee_pain, knee_pain_after = knee_pain }) => swelling === "much" || knee_pain_after >= KNEE_PAIN_BAD;

// Whether the clinic's fixed texts say what to do about a check of skin, a morning or a bout.
export const asksToAct = (payload) => (payload.pads ? checkGrade(payload) > 0 : kneeIsBad(payload));

// A mark, a sore knee, swelling, or a bout after which nobody looked at the skin.
function somethingLeft(entries) {
  const looked = new Set(entries.filter(({ kind, payload }) => kind === "skin_check" && payload.moment === "after").map(({ payload }) => payload.bout_id));
  return entries.some(({ id, kind, payload }) => (kind === "bout" ? hurts(payload) || !looked.has(id) : LEFT[kind]?.(payload) ?? false));
}

// `entries` = the standing ones of one limb.
export function morningDue(entries, day, now) {
  const asked = entries.some(({ kind, for_date }) => kind === "morning_check" && for_date === day);
  const yesterday = addDays(day, -1);
  return !asked && now < `${day}T${MORNING_ENDS}` && somethingLeft(entries.filter(({ for_date }) => for_date === yesterday));
}
