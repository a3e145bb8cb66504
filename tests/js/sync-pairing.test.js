// Pairing, its end, and a phone whose storage was cleared.
import assert from "node:assert/strict";
import { test } from "node:test";
import { IDBFactory } from "fake-indexeddb";
import { answer, makeClinic } from "./clinic.js";
import { PHONE, paired, program } from "./paired.js";
import { MONDAY_9, MORNING, makePhone } from "./world.js";

for (const revoked of ["replaced", "stolen"]) {
  test(`a phone revoked as ${revoked} keeps every entry and says so`, async () => {
    const { clinic, store, save, engine } = await paired();
    await save("morning_check", MORNING);
    clinic.fault = () => answer(401, { code: "phone_revoked", revoked, message: "", fields: {} });
    assert.equal((await engine.round()).state, `revoked_${revoked}`);
    assert.equal(await store.meta.get("trouble"), `revoked_${revoked}`);
    assert.equal(await store.outbox.count(), 1);
  });
}

test("a phone that was wiped takes up its numbers where they were", async () => {
  const factory = new IDBFactory();
  const { clinic, save, engine } = await paired({ factory });
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  await engine.round();
  const wiped = makePhone({ fetch: clinic.fetch, seed: 7 });
  assert.deepEqual(await wiped.engine.pairing.ask(), { known: true, state: "active", log_identity: "log-1" });
  assert.equal(await wiped.store.meta.get("wiped"), true);
  await wiped.save("morning_check", MORNING);
  await wiped.engine.round();
  const numbers = [...clinic.stored.values()].map(({ body }) => JSON.parse(body).number);
  assert.deepEqual(numbers, [1, 2, 3, 4]);
});

test("a phone that was wiped tells the clinic when it found out", async () => {
  const { clinic, save, engine } = await paired();
  await save("morning_check", MORNING);
  await engine.round();
  const wiped = makePhone({ fetch: clinic.fetch, seed: 7 });
  await wiped.engine.pairing.ask();
  wiped.clock.pass(60_000);
  clinic.requests.length = 0;
  await wiped.engine.round();
  await wiped.engine.round();
  const told = new Set(clinic.pushes().map(({ data }) => data.cleared_ms));
  assert.deepEqual([...told], [MONDAY_9]);
});

test("a phone killed while it was paired was not wiped", async () => {
  const clinic = makeClinic({ phoneId: PHONE });
  clinic.age_s = 20;
  const killed = makePhone({ fetch: clinic.fetch });
  await killed.engine.pairing.ask();
  await killed.engine.round();
  assert.ok(clinic.pushes().every(({ data }) => data.cleared_ms === null));
});

test("a replaced phone gives what it has to a log it does not know", async () => {
  const { clinic, store, save, engine } = await paired();
  await engine.round();
  await save("morning_check", MORNING);
  Object.assign(clinic, { state: "revoked", revoked: "replaced", identity: "log-2" });
  await engine.round();
  assert.equal(clinic.stored.size, 1);
  assert.equal(await store.outbox.count(), 0);
  assert.equal(await store.meta.get("trouble"), "not_paired");
});

test("a phone that was never wiped tells of no clearing", async () => {
  const { clinic, save, engine } = await paired();
  await save("morning_check", MORNING);
  await engine.round();
  assert.ok(clinic.pushes().every(({ data }) => data.cleared_ms === null));
});

test("pairing anew waits until what is unsent was exported", async () => {
  const { save, engine } = await paired();
  await save("morning_check", MORNING);
  assert.deepEqual(await engine.pairing.redeem("BCDFG-HJKLM", "Phone"), { paired: false, problem: "unsent_entries" });
  assert.deepEqual(await engine.pairing.redeem("BCDFG-HJKLM", "Phone", { exported: true }), { paired: true, state: "active" });
});

test("a phone that was revoked before it met the log is told so", async () => {
  const clinic = makeClinic({ phoneId: PHONE });
  const { store, engine } = makePhone({ fetch: clinic.fetch });
  await store.meta.set({ phone_id: PHONE, pairing: "active" });
  clinic.state = "revoked";
  assert.equal((await engine.round()).state, "not_paired");
  assert.equal(await store.meta.get("trouble"), "not_paired");
});

test("another pairing shows nothing of the one before, and keeps what was unsent", async () => {
  const { clinic, store, save, engine } = await paired();
  clinic.tell(program("rev-1"));
  await save("morning_check", MORNING);
  await store.drafts.put("note", { text: "mine" });
  clinic.fault = ({ address }, serve) => (address.endsWith("/push/") ? answer(503, {}) : serve());
  await engine.round();
  await store.record.apply({ changes: clinic.changes, cursor: "log-1:1" });
  clinic.phoneId = "0190a000-0000-7000-8000-000000000077";
  await engine.pairing.redeem("BCDFG-HJKLM", "Phone", { exported: true });
  assert.deepEqual([await store.record.programs(), await store.drafts.keys()], [[], []]);
  const { rows, earlier, high } = await store.outbox.waiting();
  assert.deepEqual([rows.length, earlier.length, high], [0, 1, 0]);
});
