// What a first-time patient is told before the first bout, and three questions
// that teach again where an answer is wrong. Nothing here ever bars a bout.

export const PAGES = Object.freeze(["bout", "strength", "safe"]);
export const POINTS = 3;

export const QUESTIONS = Object.freeze([
  { code: "start", answers: ["last", "zero", "limit"], right: "zero" },
  { code: "burn", answers: ["finish", "call", "off"], right: "off" },
  { code: "who", answers: ["phone", "me", "clinic"], right: "me" },
]);

export const STEPS = PAGES.length + QUESTIONS.length;

// {page} or {question} of a step that is counted from 1; a step that is not one
// is the first.
export function stepAt(number) {
  const at = Number.isInteger(number) && number >= 1 && number <= STEPS ? number : 1;
  return { number: at, page: PAGES[at - 1] ?? null, question: QUESTIONS[at - 1 - PAGES.length] ?? null };
}

// Before the first bout that this phone knows of, until it was seen or skipped.
export const lessonDue = ({ lesson_on = null }, lastBout) => !lesson_on && !lastBout;
