// The answers of one form, kept on the phone while they are given.

export async function openDraft(app, key, fresh) {
  const value = (await app.store.drafts.get(key)) ?? fresh();
  return {
    key,
    value,
    changed: () => app.store.drafts.later(key, value),
    write: () => app.store.drafts.put(key, value),
    drop: () => app.store.drafts.drop(key),
  };
}
