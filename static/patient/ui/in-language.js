// What the clinic sent, in the language of this phone: its fixed texts, and the
// exercises as far as they still say our own words. A clinician's own words
// stay as they were written.
import { say } from "../model/strings.js";

export const textsHere = (texts) => texts && { ...texts, ...texts.in?.[say.language] };

const named = (key, otherwise) => (say.knows(key) ? say(key) : otherwise);

const exerciseHere = (exercise) => ({
  ...exercise,
  name: named(`exercise.${exercise.code}`, exercise.name),
  how: exercise.ours ? named(`exercise_how.${exercise.code}`, exercise.how) : exercise.how,
});

const revisionHere = (revision) => ({ ...revision, exercises: revision.exercises.map(exerciseHere) });

export const programHere = (program) => ({ ...program, revisions: program.revisions.map(revisionHere) });
