// A phone that its owner leaves: what the clinic has goes, what it lacks stays.
import assert from "node:assert/strict";
import { test } from "node:test";
import { IDBFactory } from "fake-indexeddb";
import { makeClinic } from "./clinic.js";
import { MORNING, PLACE, makePhone } from "./world.js";

const PHONE = PLACE.phone_id;
const NEXT = "0190a000-0000-7000-8000-000000000002";

async function paired(more = {}) {
  const clinic = makeClinic({ phoneId: PHONE });
  const asked = [];
  const phone = makePhone({ fetch: (path, options) => { asked.push(`${options.method} ${path}`); return clinic.fetch(path, options); }, ...more });
  await phone.store.meta.set({ phone_id: PHONE, pairing: "active", log_identity: "log-1", initials: "WT" });
  await phone.store.record.apply({ changes: [{ type: "texts", texts: { clinic_name: "Hill" } }], cursor: "3" });
  await phone.store.drafts.put("note", { text: "half" });
  return { clinic, asked, ...phone };
}

const ids = async (store) => (await store.entries.all()).map(({ id }) => id);

test("what the clinic has goes, with program, drafts and the credential", async () => {
  const { store, engine, save, asked } = await paired();
  await save("morning_check", MORNING);
  assert.equal((await engine.round()).state, "settled");

  assert.equal(await engine.pairing.leave(), true);

  assert.deepEqual(await ids(store), []);
  assert.equal(await store.record.texts(), null);
  assert.deepEqual(await store.drafts.keys(), []);
  assert.ok(asked.includes("DELETE /api/v1/pairing/"));
  const { phone_id, initials, left } = await store.meta.all();
  assert.deepEqual({ phone_id, initials, left }, { phone_id: null, initials: null, left: true });
});

test("nobody leaves while something is unsent and not copied", async () => {
  const { store, engine, save, asked } = await paired();
  const { fields } = await save("morning_check", MORNING);

  assert.equal(await engine.pairing.leave(), false);

  assert.deepEqual(await ids(store), [fields.id]);
  assert.equal(await store.meta.get("phone_id"), PHONE);
  assert.equal((await store.record.texts()).clinic_name, "Hill");
  assert.ok(!asked.some((one) => one.startsWith("DELETE")));
});

test("what was copied and never arrived stays on the phone, also without a network", async () => {
  const { clinic, store, engine, save } = await paired();
  clinic.fault = () => { throw new TypeError("Failed to fetch"); };
  const { fields } = await save("morning_check", MORNING);

  assert.equal(await engine.pairing.leave({ exported: true }), true);

  assert.deepEqual(await ids(store), [fields.id]);
  const { rows, earlier } = await store.outbox.waiting();
  assert.deepEqual([rows.length, earlier.length], [0, 1]);
});

test("who pairs next sees nothing that a late answer put back", async () => {
  const { clinic, store, engine } = await paired();
  await engine.pairing.leave();
  await store.record.apply({ changes: [{ type: "texts", texts: { clinic_name: "Hill" } }], cursor: "4" });
  clinic.fault = () => new Response(JSON.stringify({ phone_id: NEXT, state: "active" }), { status: 201, headers: { "Content-Type": "application/json" } });

  assert.deepEqual(await engine.pairing.redeem("ABCDE-FGHIJ", "Browser"), { paired: true, state: "active" });

  assert.equal(await store.record.texts(), null);
  assert.equal(await store.meta.get("left"), false);
});

test("no second copy brings back what was left, nor whose phone it was", async () => {
  const copies = new IDBFactory();
  const { store, engine, save, clock } = await paired({ second: async () => copies });
  await save("morning_check", MORNING);
  assert.equal((await engine.round()).state, "settled");

  await engine.pairing.leave();
  await store.matchCopies();

  assert.deepEqual(await ids(store), []);
  // The browser throws the queue away: what it begins with comes from the copies.
  const anew = makePhone({ second: async () => copies, clock });
  assert.deepEqual([await anew.store.meta.get("phone_id"), await anew.store.meta.get("initials"), await anew.store.meta.get("left")], [null, null, true]);
  assert.deepEqual(await ids(anew.store), []);
});
