// A count that cannot go on is told in its log, as far as it went.
import { isBrokenOff } from "../model/begun.js";
import { brokenOff, countIn } from "../model/count.js";
import { effectiveRevision } from "../model/plan.js";
import { countedOf, fillLog } from "./bout-answers.js";
import { openHourlyDraft } from "./draft.js";

// The draft of a limb's bout, with its log filled where it was broken off before `reading`.
export async function openBout(app, { facts, view }, reading = app.clock.reading()) {
  const draft = await openHourlyDraft(app, `bout:${view.program.episode.id}`, () => ({}));
  const { value } = draft;
  const revision = effectiveRevision(view.program, value.day ?? facts.day);
  if (revision && isBrokenOff(value, facts, view.holds.length > 0)) {
    const count = brokenOff(countIn(value), reading);
    fillLog(value, revision, reading, { count, ended: countedOf(revision, count).finished < revision.contractions_per_bout });
    await draft.write().catch(() => {}); // it is filled anew at the next look
  }
  return { draft, revision };
}

// A hold was just raised on this phone: what ran until its screen was opened is kept.
export async function endHeldBouts(app) {
  const { programs } = await app.facts();
  for (const { episode } of programs) await openBout(app, await app.one(episode.id), app.came);
}
