import assert from "node:assert/strict";
import { test } from "node:test";
import { IDBFactory } from "fake-indexeddb";
import { sha256 } from "../../static/patient/model/uuid.js";
import { CALF, MORNING, PLACE, makeClock, makePhone, makeTimer } from "./world.js";

const numbers = async (store) => (await store.entries.all()).map(({ number }) => number).sort((a, b) => a - b);

test("an entry is stored with its number, its frozen body and its hash", async () => {
  const { store, save } = makePhone();
  const { saved, fields } = await save("morning_check", MORNING);

  assert.equal(saved, true);
  const row = await store.entries.get(fields.id);
  assert.equal(row.state, "stored");
  assert.equal(row.sha256, await sha256(row.body));
  const { number, local_time, offset_min, zone, payload } = JSON.parse(row.body);
  assert.deepEqual(
    { number, local_time, offset_min, zone, payload },
    { number: 1, local_time: "2030-03-04T09:00:00", offset_min: 60, zone: "Europe/Paris", payload: MORNING });
});

test("numbers have no gaps although saves race", async () => {
  const { store, save } = makePhone();
  await Promise.all([1, 2, 3, 4, 5].map(() => save("morning_check", MORNING)));
  assert.deepEqual(await numbers(store), [1, 2, 3, 4, 5]);
});

test("two tabs of one phone share one row of numbers", async () => {
  const factory = new IDBFactory();
  const one = makePhone({ factory, seed: 1 });
  const two = makePhone({ factory, seed: 2 });
  await Promise.all([one, two, one, two].map(({ save }) => save("morning_check", MORNING)));
  assert.deepEqual(await numbers(one.store), [1, 2, 3, 4]);
});

test("saving the same id twice stores it once", async () => {
  const { store, save } = makePhone();
  const id = store.entries.newId();
  await save("morning_check", MORNING, { id });
  const again = await save("morning_check", MORNING, { id });
  assert.equal(again.saved, true);
  assert.deepEqual(await numbers(store), [1]);
});

test("another answer under an id that is stored is kept as an entry of its own, once", async () => {
  const { store, save } = makePhone();
  const id = store.entries.newId();
  const other = { ...MORNING, knee_pain: MORNING.knee_pain + 1 };
  await save("morning_check", MORNING, { id });
  const first = await save("morning_check", other, { id });
  const again = await save("morning_check", other, { id });

  assert.notEqual(first.fields.id, id);
  assert.equal(again.fields.id, first.fields.id);
  assert.match(first.fields.id, /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  const told = (await store.entries.all()).map(({ body }) => JSON.parse(body).payload.knee_pain);
  assert.deepEqual(told.sort(), [MORNING.knee_pain, other.knee_pain]);
});

test("what was typed last is kept before the entry is saved, in case the page goes", async () => {
  const { store } = makePhone();
  store.drafts.later("note", { text: "all of it" });
  store.drafts.settle("note");
  assert.deepEqual(await store.drafts.get("note"), { text: "all of it" });
});

test("a draft that is settled and then saved does not come back", async () => {
  const { store, save } = makePhone();
  store.drafts.later("morning", MORNING);
  store.drafts.settle("morning");
  await save("morning_check", MORNING, { draftKey: "morning" });
  await new Promise((done) => setTimeout(done, 350));
  assert.equal(await store.drafts.get("morning"), null);
});

test("the draft goes in the transaction that stores the entry", async () => {
  const { store, save } = makePhone();
  await store.drafts.put("morning", MORNING);
  await save("morning_check", MORNING, { draftKey: "morning" });
  assert.equal(await store.drafts.get("morning"), null);
});

test("what is typed is kept when the page leaves", async () => {
  const { store } = makePhone({ timer: makeTimer() });
  store.drafts.later("note", { text: "half a" });
  store.drafts.later("note", { text: "half a sentence" });
  await store.drafts.flush();
  assert.deepEqual(await store.drafts.get("note"), { text: "half a sentence" });
});

// The request may succeed and the transaction still abort: a full phone.
function abortingFactory(factory, names) {
  const open = factory.open.bind(factory);
  factory.open = (name, version) => {
    const opening = open(name, version);
    opening.addEventListener("success", () => {
      if (names.includes(name)) abortWrites(opening.result, factory);
    });
    return opening;
  };
  factory.full = true;
  return factory;
}

function abortWrites(db, factory) {
  const transaction = db.transaction.bind(db);
  db.transaction = (stores, mode, options) => {
    const tx = transaction(stores, mode, options);
    if (mode === "readwrite" && factory.full) tx.commit = () => tx.abort();
    return tx;
  };
}

test("a write that aborts after its request succeeded is not called saved", async () => {
  const { store, save } = makePhone({ factory: abortingFactory(new IDBFactory(), ["boutwise-queue", "boutwise-queue-rescue"]) });
  const { saved } = await save("morning_check", MORNING);
  assert.equal(saved, false);
  assert.deepEqual(await store.entries.all(), []);
});

test("after space returns the same form saves as number 1", async () => {
  const factory = abortingFactory(new IDBFactory(), ["boutwise-queue", "boutwise-queue-rescue"]);
  const { store, save } = makePhone({ factory });
  const id = store.entries.newId();
  await save("morning_check", MORNING, { id });
  factory.full = false;
  const again = await save("morning_check", MORNING, { id });
  assert.equal(again.saved, true);
  assert.deepEqual(await numbers(store), [1]);
});

test("a queue that does not answer sends the entry to the rescue, and it comes back numbered", async () => {
  const factory = abortingFactory(new IDBFactory(), ["boutwise-queue"]);
  const { store, save } = makePhone({ factory });
  const { saved, where, fields } = await save("stop_report", CALF);
  assert.deepEqual({ saved, where }, { saved: true, where: "rescue" });

  factory.full = false;
  assert.equal(await store.entries.mergeRescued(), 1);
  assert.equal((await store.entries.get(fields.id)).number, 1);
  assert.deepEqual(await store.entries.rescued(), []);
});

test("two answers under one id come back from the rescue as two entries", async () => {
  const factory = abortingFactory(new IDBFactory(), ["boutwise-queue"]);
  const { store, save } = makePhone({ factory });
  const id = store.entries.newId();
  const other = { ...MORNING, knee_pain: MORNING.knee_pain + 1 };
  for (const answer of [MORNING, other, other]) await save("morning_check", answer, { id });

  factory.full = false;
  assert.equal(await store.entries.mergeRescued(), 2);
  assert.deepEqual(await numbers(store), [1, 2]);
});

test("an open that never answers ends in a deadline, not in a wait", async () => {
  const factory = new IDBFactory();
  factory.open = () => ({});
  const { save } = makePhone({ factory, timer: makeTimer(100) });
  const { saved, code } = await save("morning_check", MORNING);
  assert.deepEqual({ saved, code }, { saved: false, code: "no_answer" });
});

test("an old shell writes into a database that a newer one has upgraded", async () => {
  const factory = new IDBFactory();
  const { store, save } = makePhone({ factory });
  await save("morning_check", MORNING);
  await store.close();
  await new Promise((resolve) => {
    const opening = factory.open("boutwise-queue", 7);
    opening.onsuccess = () => { opening.result.close(); resolve(); };
  });
  const old = makePhone({ factory, seed: 9 });
  assert.equal((await old.save("morning_check", MORNING)).saved, true);
  assert.deepEqual(await numbers(old.store), [1, 2]);
});

test("another tab's upgrade is not blocked by us, and we open anew", async () => {
  const factory = new IDBFactory();
  const { store, save } = makePhone({ factory });
  await save("morning_check", MORNING);
  const upgraded = await new Promise((resolve) => {
    const opening = factory.open("boutwise-queue", 2);
    opening.onblocked = () => resolve("blocked");
    opening.onsuccess = () => { opening.result.close(); resolve("upgraded"); };
  });
  assert.equal(upgraded, "upgraded");
  assert.equal((await save("morning_check", MORNING)).saved, true);
  assert.deepEqual(await numbers(store), [1, 2]);
});

test("a kill between two saves keeps the first and its number", async () => {
  const factory = new IDBFactory();
  const before = makePhone({ factory });
  await before.save("morning_check", MORNING);
  await before.store.close(); // the process is gone; nothing else was written
  const after = makePhone({ factory, seed: 5 });
  await after.save("morning_check", MORNING);
  assert.deepEqual(await numbers(after.store), [1, 2]);
});

test("a save that went by a number another tab has taken since takes the next one", async () => {
  const factory = new IDBFactory();
  const [one, other] = [makePhone({ factory }), makePhone({ factory, seed: 5 })];
  await one.store.meta.all();
  await other.save("morning_check", MORNING);
  await one.save("morning_check", MORNING);
  assert.deepEqual(await numbers(one.store), [1, 2]);
});

test("a clock set back between two entries is told", async () => {
  const clock = makeClock();
  const { save } = makePhone({ clock });
  assert.equal((await save("morning_check", MORNING)).fields.clock_changed, false);
  clock.ms -= 86_400_000;
  assert.equal((await save("morning_check", MORNING)).fields.clock_changed, true);
});

test("a clock that simply ran on is not told", async () => {
  const clock = makeClock();
  const { save } = makePhone({ clock });
  await save("morning_check", MORNING);
  clock.pass(3_600_000);
  assert.equal((await save("morning_check", MORNING)).fields.clock_changed, false);
});

test("a stop report leaves the queue before older entries", async () => {
  const { store, save } = makePhone();
  await store.meta.set({ phone_id: PLACE.phone_id });
  await save("morning_check", MORNING);
  await save("stop_report", CALF);
  const { rows, high } = await store.outbox.waiting();
  assert.deepEqual(rows.map(({ kind }) => kind), ["stop_report", "morning_check"]);
  assert.equal(high, 2);
});

test("entries of an earlier pairing wait until their owner says they are theirs", async () => {
  const { store, save } = makePhone();
  await store.meta.set({ phone_id: "0190a000-0000-7000-8000-000000000099" });
  await save("morning_check", MORNING);
  const first = await store.outbox.waiting();
  assert.deepEqual([first.rows.length, first.earlier.length], [0, 1]);
  await store.meta.set({ earlier_mine: "0190a000-0000-7000-8000-000000000099" });
  assert.equal((await store.outbox.waiting()).rows.length, 1);
});

test("pruning goes by the clinic's clock and spares what waits", async () => {
  const { store, save, clock } = makePhone();
  await store.meta.set({ phone_id: PLACE.phone_id });
  const old = (await save("morning_check", MORNING)).fields.id;
  await save("morning_check", MORNING);
  await store.outbox.confirm([{ id: old, outcome: "stored", server_ms: 0 }]);
  clock.ms += 900 * 86_400_000; // a phone set to a wrong year throws nothing away
  assert.equal(await store.outbox.prune({ server_ms: 399 * 86_400_000, high: 2 }), 0);
  assert.equal(await store.outbox.prune({ server_ms: 401 * 86_400_000, high: 0 }), 0);
  assert.equal(await store.outbox.prune({ server_ms: 401 * 86_400_000, high: 2 }), 1);
  assert.deepEqual(await numbers(store), [2]);
});

test("rows and cursor change together", async () => {
  const { store } = makePhone();
  const hold = { id: "h1", entry_id: "e1", scope: "all", episode_id: null };
  await store.record.apply({ changes: [{ type: "hold", version: 1, hold }], cursor: "log-1:1" });
  const bad = { type: "hold", version: 2, hold: { no: "id" } };
  await assert.rejects(store.record.apply({ changes: [bad], cursor: "log-1:2" }));
  assert.equal(await store.record.cursor(), "log-1:1");
  assert.deepEqual((await store.record.safety()).placed, [hold]);
});

test("a change of an unknown kind is left out and stops nothing", async () => {
  const { store } = makePhone();
  await store.record.apply({ changes: [{ type: "weather", version: 1 }, { type: "texts", version: 2, texts: { clinic_name: "X" } }], cursor: "c" });
  assert.deepEqual(await store.record.texts(), { clinic_name: "X" });
});
