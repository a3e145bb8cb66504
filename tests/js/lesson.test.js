// The lesson before the first bout.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import { PAGES, POINTS, QUESTIONS, STEPS, lessonDue, stepAt } from "../../static/patient/model/lesson.js";

const { words } = JSON.parse(readFileSync(new URL("../../static/patient/words/en.json", import.meta.url), "utf8"));

test("it is due before the first bout, until it was seen or skipped", () => {
  assert.equal(lessonDue({}, null), true);
  assert.equal(lessonDue({ lesson_on: "2030-03-04" }, null), false);
  assert.equal(lessonDue({}, { id: "bout" }), false);
});

test("first the pages, then the questions; any other step is the first", () => {
  const steps = Array.from({ length: STEPS }, (_, at) => stepAt(at + 1));
  assert.deepEqual(steps.map(({ page, question }) => page ?? question.code), ["bout", "strength", "safe", "start", "burn", "who"]);
  for (const wrong of [NaN, 0, 7, 1.5]) assert.equal(stepAt(wrong).page, "bout");
});

test("a screen has at most three key points, each with words", () => {
  assert.ok(POINTS <= 3);
  for (const page of PAGES) {
    const points = Object.keys(words).filter((key) => new RegExp(`^lesson\\.${page}_\\d$`).test(key));
    assert.equal(points.length, POINTS, page);
  }
});

test("there are three questions, each with one right answer, not always in one place", () => {
  assert.equal(QUESTIONS.length, 3);
  for (const { code, answers, right } of QUESTIONS) {
    assert.equal(answers.filter((answer) => answer === right).length, 1);
    for (const answer of [...answers, "why"]) assert.ok(words[`ask.${code}_${answer}`], `${code} ${answer}`);
  }
  assert.ok(new Set(QUESTIONS.map(({ answers, right }) => answers.indexOf(right))).size > 1);
});
