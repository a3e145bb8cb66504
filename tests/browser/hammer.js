// Saves entry after entry, as fast as the shipped code can, and tells the
// outside of each one the moment it is shown as saved.
async ({ owner, sync, early }) => {
  const save = await inside.saver({ sync });
  const store = await inside.store();
  const day = (at) => new Date(Date.now() - (at % 60) * 86_400_000).toISOString().slice(0, 10);
  const program = { episode: owner.episode, revision: owner.revision };
  const bout = (at) => ({
    started_at: `${day(at)}T08:00`, ended_early: null, minutes: 15, contractions: 15, exercises: ["quad_set"],
    intensity: [{ channel: 1, value: 40, unit: "mA" }], discomfort: 3, knee_pain_before: 1, knee_pain_after: 2,
  });
  const what = (at) => {
    if (at % 8 === 0) return { kind: "bout", payload: bout(at), ...program };
    if (at % 8 === 1) return { kind: "note_to_clinic", payload: { text: `note ${at}`, wants_contact: false } };
    return { kind: "morning_check", payload: { knee_pain: at % 11, swelling: "none" }, episode: owner.episode };
  };
  const tell = (id, words) => console.debug("shown", JSON.stringify({ id, words }));
  for (let at = 0; ; at += 1) {
    const id = store.entries.newId();
    const draftKey = `hammer:${id}`;
    if (at % 3 === 0) await store.drafts.put(draftKey, { at }); // every third was a form that is kept
    if (early) {
      tell(id, early);
      await new Promise((resolve) => { setTimeout(resolve, 30); });
    }
    const { saved, words } = await save({ id, draftKey, forDate: day(at), ...what(at) });
    if (saved && !early) tell(id, words);
  }
}
