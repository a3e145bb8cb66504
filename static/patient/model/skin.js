// Skin check: the patient tells facts, the grade 0-4 is derived from them.
// A home scale of our own, 0 = nothing. Shared cases: fixtures/rules/skin_grade.json.

export const UNCHANGED = Object.freeze({
  colour: "same", pattern: null, raised: false, itchy: false, sore: false, broken: false,
});

// From here on no bout until the clinic lifts the hold.
export const HOLDING_GRADE = 3;

// Moments at which a mark should have gone; one that is still there weighs more.
const SHOULD_BE_GONE = new Set(["before", "next_morning"]);

const coloured = (facts) => facts.colour !== "same";

function gradeOfFacts(facts) {
  if (facts.broken) return 4;
  if (facts.raised) return 3;
  if (facts.colour === "marked" || facts.pattern === "patchy") return 2;
  if (facts.itchy && !coloured(facts)) return 2;
  return coloured(facts) || facts.sore ? 1 : 0;
}

export function padGrade(facts, moment) {
  const grade = gradeOfFacts(facts);
  const lasting = SHOULD_BE_GONE.has(moment) && (coloured(facts) || facts.sore);
  return lasting ? Math.max(grade, 2) : grade;
}

export function checkGrade({ moment, pads }) {
  return Math.max(0, ...pads.map(({ facts }) => padGrade(facts, moment)));
}

// A mark still there before the bout: nothing on that spot, the day is excused.
export function restsTheSpot({ moment, pads }) {
  const marked = ({ facts }) => coloured(facts) || facts.raised || facts.broken;
  return moment === "before" && pads.some(marked);
}
