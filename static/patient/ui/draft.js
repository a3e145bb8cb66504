// The answers of one form, kept on the phone while they are given.
import { formStands } from "../model/begun.js";

export async function openDraft(app, key, fresh, stands = () => true) {
  const kept = await app.store.drafts.get(key);
  const value = kept && stands(kept) ? kept : fresh();
  return {
    key,
    value,
    changed: () => app.store.drafts.later(key, value),
    write: () => app.store.drafts.put(key, value),
    drop: () => app.store.drafts.drop(key),
  };
}

// For forms about this very hour. `fresh` tells when the form was begun: {begun_ms}.
export function openHourlyDraft(app, key, fresh) {
  return openDraft(app, key, fresh, (kept) => formStands(kept, app.clock.now()));
}
