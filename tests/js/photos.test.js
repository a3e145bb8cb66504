// Photos of the skin on this phone: kept apart from the log, few, and gone when told.
import assert from "node:assert/strict";
import { test } from "node:test";
import { IDBFactory } from "fake-indexeddb";
import { PHONE } from "./paired.js";
import { MORNING, makePhone, makeTimer } from "./world.js";

const CHECK = "0190a000-0000-7000-8000-00000000c001";
const picture = (seed = 1) => Uint8Array.from({ length: 64 }, (_, at) => at + seed).buffer;

function shelf(more) {
  const { store, factory, clock, save } = makePhone(more);
  const keep = (given = {}) => store.photos.keep({ id: store.entries.newId(), entry_id: CHECK, phone_id: PHONE, bytes: picture(), ...given });
  return { store, factory, clock, save, keep, rows: () => store.photos.rows(PHONE) };
}

test("a kept photo waits, with its hash and the moment it was taken", async () => {
  const { keep, rows, clock } = shelf();
  assert.equal(await keep({ id: "one" }), null);
  const [row] = await rows();
  assert.deepEqual({ ...row, sha256: row.sha256.length }, {
    id: "one", entry_id: CHECK, phone_id: PHONE, state: "waiting", reason: null, taken_ms: clock.ms, offered_ms: null, sha256: 64,
  });
});

test("a second try of one picture is the same photo", async () => {
  const { keep, rows } = shelf();
  await keep({ id: "one" });
  assert.equal(await keep({ id: "one" }), null);
  assert.equal((await rows()).length, 1);
});

test("a fourth photo of one check is refused", async () => {
  const { keep, rows } = shelf();
  for (const _ of [1, 2, 3]) assert.equal(await keep(), null);
  assert.equal(await keep(), "enough");
  assert.equal((await rows()).length, 3);
});

test("six wait on this phone at most, of whatever check", async () => {
  const { keep, store } = shelf();
  for (const check of ["a", "b"]) for (const _ of [1, 2, 3]) await keep({ entry_id: check });
  assert.equal(await keep({ entry_id: "c" }), "many");
  const [first] = await store.photos.rows(PHONE);
  await store.photos.sent(first.id);
  assert.equal(await keep({ entry_id: "c" }), null);
});

test("one that was never sent goes at once when it is removed", async () => {
  const { keep, store, rows } = shelf();
  await keep({ id: "one" });
  await store.photos.remove("one");
  assert.deepEqual(await rows(), []);
});

for (const [what, before] of [["that was sent", (photos) => photos.sent("one")], ["that may have arrived", (photos) => photos.offer("one")]]) {
  test(`of one ${what} the picture goes at once and the wish to remove it stays`, async () => {
    const { keep, store, rows, factory } = shelf();
    await keep({ id: "one" });
    await before(store.photos);
    await store.photos.remove("one");
    assert.deepEqual((await rows()).map(({ state }) => state), ["removing"]);
    assert.equal(await bytesOf(factory, "one"), null);
  });
}

test("one that the clinic refused goes at once when it is removed", async () => {
  const { keep, store, rows } = shelf();
  await keep({ id: "one" });
  await store.photos.offer("one");
  await store.photos.refuse("one", "off");
  await store.photos.remove("one");
  assert.deepEqual(await rows(), []);
});

for (const late of ["sent", "refuse"]) {
  test(`an answer that comes after the removal does not undo it: ${late}`, async () => {
    const { keep, store, rows } = shelf();
    await keep({ id: "one" });
    await store.photos.offer("one");
    await store.photos.remove("one");
    await store.photos[late]("one", "off");
    assert.deepEqual((await rows()).map(({ state }) => state), ["removing"]);
  });
}

test("of a photo that was sent or refused no picture stays on the phone", async () => {
  const { keep, store, factory } = shelf();
  for (const id of ["sent", "refused"]) await keep({ id });
  await store.photos.sent("sent");
  await store.photos.refuse("refused", "too_many");
  assert.deepEqual([await bytesOf(factory, "sent"), await bytesOf(factory, "refused")], [null, null]);
});

test("those of another pairing are not listed, and can be cleared alone", async () => {
  const { keep, store, rows } = shelf();
  await keep({ id: "mine" });
  await keep({ id: "theirs", phone_id: "another" });
  assert.deepEqual((await rows()).map(({ id }) => id), ["mine"]);
  await store.photos.clearOthers(PHONE);
  assert.deepEqual([(await rows()).length, (await store.photos.rows("another")).length], [1, 0]);
});

test("a database of photos that fails is told, and no entry hears of it", async () => {
  const factory = new IDBFactory();
  const open = factory.open.bind(factory);
  factory.open = (name, version) => {
    if (name === "boutwise-photos") throw new DOMException("", "QuotaExceededError");
    return open(name, version);
  };
  const { keep, save } = shelf({ factory });
  assert.equal(await keep(), "full");
  assert.equal((await save("morning_check", MORNING)).where, "queue");
});

test("a database of photos that does not answer is not waited for for ever", async () => {
  const factory = new IDBFactory();
  const open = factory.open.bind(factory);
  factory.open = (name, version) => (name === "boutwise-photos" ? {} : open(name, version));
  const { keep } = shelf({ factory, timer: makeTimer(100) });
  assert.equal(await keep(), "no_answer");
});

async function bytesOf(factory, id) {
  const db = await new Promise((resolve) => {
    const opening = factory.open("boutwise-photos");
    opening.onsuccess = () => resolve(opening.result);
  });
  const asked = db.transaction("photos").objectStore("photos").get(id);
  await new Promise((resolve) => { asked.onsuccess = resolve; });
  db.close();
  return asked.result.bytes;
}
