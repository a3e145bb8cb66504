// A browser that throws its database away: what the clinic had not confirmed
// comes back from its copy, and the phone counts on where it was.
import assert from "node:assert/strict";
import { test } from "node:test";
import { IDBFactory } from "fake-indexeddb";
import { CALF, MORNING, PLACE, makePhone, makeTimer } from "./world.js";

const placed = (factory) => async () => factory;
const bodies = async (store) => (await store.entries.all()).sort((a, b) => a.number - b.number).map(({ body }) => body);
const copiesIn = (factory) => new Promise((resolve, reject) => {
  const opening = factory.open("boutwise-copies");
  opening.onerror = () => reject(opening.error);
  opening.onsuccess = () => {
    const asked = opening.result.transaction("entries").objectStore("entries").getAllKeys();
    asked.onsuccess = () => { opening.result.close(); resolve(asked.result); };
  };
});

// A phone with two places, that has saved a report and a morning check.
async function filled() {
  const other = new IDBFactory();
  const phone = makePhone({ second: placed(other) });
  await phone.store.meta.set({ phone_id: "one", log_identity: "log" });
  await phone.save("stop_report", CALF);
  await phone.save("morning_check", MORNING);
  return { ...phone, other };
}

test("a queue that was thrown away begins with what waited, and counts on", async () => {
  const { store, other } = await filled();
  const before = await bodies(store);

  const anew = makePhone({ factory: new IDBFactory(), second: placed(other), seed: 5 });

  assert.deepEqual(await bodies(anew.store), before);
  assert.equal((await anew.store.entries.holding()).length, 1);
  const { phone_id, log_identity, number, restored } = await anew.store.meta.all();
  assert.deepEqual({ phone_id, log_identity, number, restored }, { phone_id: "one", log_identity: "log", number: 2, restored: 1 });
  await anew.save("morning_check", MORNING);
  assert.equal((await anew.store.entries.all()).length, 3);
  assert.equal(await anew.store.meta.get("number"), 3);
});

test("a phone that was never thrown away is not given anything twice", async () => {
  const { store, factory, other } = await filled();
  const again = makePhone({ factory, second: placed(other), seed: 5 });
  await again.store.matchCopies();

  assert.deepEqual(await bodies(again.store), await bodies(store));
  assert.equal(await again.store.meta.get("restored"), null);
});

test("what the clinic has confirmed has no copy any more", async () => {
  const { store, other } = await filled();
  const [first, second] = (await store.entries.all()).sort((a, b) => a.number - b.number);
  await store.outbox.confirm([{ id: first.id, outcome: "stored" }]);

  await store.matchCopies();

  assert.deepEqual(await copiesIn(other), [second.id]);
});

test("what is offered again after the clinic lost it has a copy again", async () => {
  const { store, other } = await filled();
  const ids = (await store.entries.all()).map(({ id }) => id);
  await store.outbox.confirm(ids.map((id) => ({ id, outcome: "stored" })));
  await store.matchCopies();
  await store.outbox.offerAgain(() => true);

  await store.matchCopies();

  assert.deepEqual((await copiesIn(other)).sort(), ids.sort());
});

test("a copy that the queue never heard of goes back into it", async () => {
  const { other } = await filled();
  const late = makePhone({ factory: new IDBFactory(), seed: 5 });
  await late.store.meta.set({ phone_id: "one" }); // began without its copies: they did not answer
  const there = makePhone({ factory: late.factory, second: placed(other), seed: 6 });

  await there.store.matchCopies();

  assert.equal((await bodies(there.store)).length, 2);
  assert.equal(await there.store.meta.get("number"), 2);
});

test("an entry counts as saved before its copy is made", async () => {
  const { store } = makePhone({ second: () => new Promise(() => {}), timer: makeTimer(40) });

  const { saved, copy } = await store.entries.save({ id: store.entries.newId(), kind: "morning_check", payload: MORNING, place: PLACE });

  assert.equal(saved, true);
  assert.equal(await Promise.race([copy(), "not yet"]), "not yet");
});

for (const [what, second] of Object.entries({
  "that is not there": async () => null,
  "that cannot be had": async () => { throw new Error("no buckets"); },
  "that never answers": () => new Promise(() => {}),
  "whose database never opens": async () => ({ open: () => ({}) }),
})) {
  test(`a second place ${what} stops no entry`, async () => {
    const { store, save } = makePhone({ second, timer: makeTimer(40) });

    const { saved, where } = await save("morning_check", MORNING);

    assert.deepEqual({ saved, where }, { saved: true, where: "queue" });
    assert.equal((await store.entries.all()).length, 1);
  });
}
