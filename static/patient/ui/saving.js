// Saves one entry and says what is true: kept on this phone, or not yet.
import { holdOf } from "../model/hold.js";
import { say } from "../model/strings.js";
import { endHeldBouts } from "./broken-off.js";

export function placeOf(facts, { episode = null, revision = null, forDate = null }) {
  return {
    phone_id: facts.meta.phone_id,
    episode_id: episode,
    revision_id: revision,
    for_date: forDate ?? facts.day,
    logged_by: facts.meta.logged_by ?? { who: "patient" },
  };
}

const IDLE_MS = 1_000;

// Read back when the phone is at rest; what it did not keep is told.
function lookAgain(app, { id }) {
  app.timer.set(async () => {
    if (!(await app.store.entries.isSound(id).catch(() => true))) app.frame.tell(say("save.damaged"));
  }, IDLE_MS);
}

// The id under which the entry is stored, or null: the form stays filled then, and
// tries with its own id again at the next tap.
export async function saveEntry(app, entry) {
  if (entry.draftKey) app.store.drafts.settle(entry.draftKey);
  const outcome = await app.store.entries.save(entry);
  if (!outcome.saved) {
    app.frame.tell(say(outcome.code === "full" ? "save.full" : "save.not_yet"));
    return null;
  }
  app.frame.tell(say("save.saved"));
  await outcome.copy?.(); // told before: it is kept whatever becomes of its copy
  if (outcome.where === "queue") lookAgain(app, outcome.fields);
  app.saved();
  if (holdOf(outcome.fields)) await endHeldBouts(app).catch(() => {}); // filled at the next look then
  return outcome.fields.id;
}
