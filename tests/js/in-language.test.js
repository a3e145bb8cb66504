// What the clinic sent, said in the phone's language as far as it is ours to say.
import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";
import { useWords } from "../../static/patient/model/strings.js";
import { programHere, textsHere } from "../../static/patient/ui/in-language.js";

beforeEach(() => useWords({ language: "es", words: { "exercise.quad_set": "Apriete el muslo", "exercise_how.quad_set": "Empuje." } }));

const exerciseOf = (exercise) => programHere({ revisions: [{ exercises: [exercise] }] }).revisions[0].exercises[0];

test("an exercise in our words is said in the phone's language", () => {
  assert.deepEqual(exerciseOf({ code: "quad_set", name: "Tighten the thigh", how: "Push.", ours: true }),
    { code: "quad_set", name: "Apriete el muslo", how: "Empuje.", ours: true });
});

test("a clinician's own words stay as they were written", () => {
  assert.equal(exerciseOf({ code: "quad_set", name: "Tighten the thigh", how: "As we showed you.", ours: false }).how, "As we showed you.");
  assert.equal(exerciseOf({ code: "quad_set", name: "Tighten the thigh", how: "Push." }).how, "Push.", "an older clinic does not tell");
});

test("an exercise that only a newer clinic knows keeps its words", () => {
  assert.equal(exerciseOf({ code: "swim", name: "Swim", how: "Swim.", ours: true }).name, "Swim");
});

test("the clinic's texts are taken in the phone's language where it sent them", () => {
  const texts = { clinic_name: "Hill", hold: { all: "Stop." }, in: { es: { hold: { all: "Pare." } } } };
  assert.equal(textsHere(texts).hold.all, "Pare.");
  assert.equal(textsHere(texts).clinic_name, "Hill");
  assert.equal(textsHere({ hold: { all: "Stop." } }).hold.all, "Stop.");
  assert.equal(textsHere(null), null);
});
