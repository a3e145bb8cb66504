// A round between phone and clinic: what is sent, marked and kept.
import assert from "node:assert/strict";
import { test } from "node:test";
import { IDBFactory } from "fake-indexeddb";
import { fitting } from "../../static/patient/net/batch.js";
import { answer } from "./clinic.js";
import { TYPE, paired, program, receiptLike, states } from "./paired.js";
import { CALF, MORNING, makePhone, makeTimer } from "./world.js";

test("a round brings the entry to the clinic and marks it from its receipt", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  assert.equal((await engine.round()).state, "settled");
  assert.equal(clinic.stored.size, 1);
  assert.deepEqual(await states(store), ["confirmed"]);
});

test("a reply lost after the commit is made good by sending again", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  clinic.fault = async (_, serve) => { await serve(); throw new TypeError("connection reset"); };
  await engine.round();
  assert.deepEqual([clinic.stored.size, await states(store)], [1, ["offered"]]);
  clinic.fault = null;
  await engine.round();
  assert.deepEqual([clinic.stored.size, await states(store)], [1, ["confirmed"]]);
});

test("a request that a proxy doubles is stored once", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  clinic.fault = async (_, serve) => { await serve(); return serve(); };
  await engine.round();
  assert.deepEqual([clinic.stored.size, await states(store)], [1, ["confirmed"]]);
});

test("a server that hangs is left at the deadline with everything kept", async () => {
  const { clinic, store, save, engine } = await paired({ timer: makeTimer(200, 10_000) });
  await save("morning_check", MORNING);
  clinic.fault = (_, __, { signal }) => new Promise((___, reject) => {
    signal.addEventListener("abort", () => reject(new DOMException("", "AbortError")));
  });
  assert.equal((await engine.round()).state, "offline");
  assert.deepEqual(await states(store), ["offered"]);
});

test("a batch that is too big is halved until it fits", async () => {
  const { clinic, store, save, engine } = await paired();
  for (let at = 0; at < 9; at += 1) await save("morning_check", MORNING);
  clinic.fault = ({ data }, serve) => (data?.entries?.length > 2 ? answer(413, { code: "too_large" }) : serve());
  assert.equal((await engine.round()).state, "settled");
  assert.equal(clinic.stored.size, 9);
  assert.ok((await states(store)).every((state) => state === "confirmed"));
});

test("an entry the clinic cannot use is in its custody and told as such", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  clinic.fault = async ({ data, address }, serve) => {
    if (!address.endsWith("/push/") || !data.entries.length) return serve();
    const body = receiptLike(data);
    return answer(200, { ...body, receipts: [{ id: null, outcome: "held", sha256: data.entries[0].sha256, version: 1, reason: { code: "entry_unreadable", message: "m" } }] }, TYPE);
  };
  await engine.round();
  assert.deepEqual(await states(store), ["held"]);
});

test("a stop report goes out first, in a message of its own, then the rest", async () => {
  const { clinic, save, engine, store } = await paired();
  await save("morning_check", MORNING);
  await save("stop_report", CALF);
  assert.equal((await engine.round()).state, "settled");
  const sent = clinic.pushes().map(({ data }) => data.entries.map(({ body }) => JSON.parse(body).kind)).filter(({ length }) => length);
  assert.deepEqual(sent, [["stop_report"], ["morning_check"]]);
  assert.ok((await states(store)).every((state) => state === "confirmed"));
});

test("what raised a hold overtakes what did not, behind a stop report", () => {
  const rows = [{ number: 1, kind: "bout" }, { number: 2, kind: "skin_check", holding: 1 }, { number: 3, kind: "note_to_clinic" }];
  const limits = { entries: 250, bytes: 262_144 };
  const numbers = (some) => fitting(some.map((row) => ({ body: "{}", sha256: "0".repeat(64), ...row })), limits).map(({ number }) => number);
  assert.deepEqual(numbers(rows), [2]);
  assert.deepEqual(numbers(rows.filter(({ number }) => number !== 2)), [1, 3]);
});

test("a new revision is named to the clinic in the same round", async () => {
  const { clinic, engine } = await paired();
  clinic.tell(program("rev-1"));
  await engine.round();
  assert.deepEqual([...clinic.named], ["rev-1"]);
});

test("before the clinic confirms the phone, entries stay and the state is told", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  clinic.fault = () => answer(403, { code: "pairing_waiting", message: "", fields: {} });
  assert.equal((await engine.round()).state, "waiting");
  assert.equal(await store.meta.get("pairing"), "waiting");
  assert.equal((await states(store)).length, 1);
});

test("numbers the clinic misses and this phone does not have are told as lost, with the claim", async () => {
  const { clinic, store, save, engine } = await paired();
  clinic.announced = 3;
  await store.meta.set({ number: 3 });
  await save("morning_check", MORNING);
  await engine.round();
  const [first, second] = clinic.pushes().map(({ data }) => data);
  assert.deepEqual([first.lost, second.lost], [[], [1, 2, 3]]);
  assert.equal(second.claim.high, 4);
});

test("a held entry whose number the clinic could not read is offered once more, then told as lost", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  const [{ id }] = await store.entries.all();
  await save("morning_check", MORNING);
  clinic.unreadable.add(id);
  await engine.round();
  await engine.round();
  const sent = clinic.pushes().map(({ data }) => [data.entries.length, data.lost]);
  assert.deepEqual(sent, [[2, []], [1, []], [0, []], [0, [1]]]);
  assert.deepEqual((await states(store)).sort(), ["confirmed", "held"]);
});

test("two tabs that sync at once harm nothing", async () => {
  const factory = new IDBFactory();
  const { clinic, store, save, engine } = await paired({ factory });
  const other = makePhone({ fetch: clinic.fetch, factory, seed: 3 });
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  await Promise.all([engine.round(), other.engine.round()]);
  await engine.round();
  assert.equal(clinic.stored.size, 3);
  assert.ok((await states(store)).every((state) => state === "confirmed"));
});

test("a tab that froze with the lock is passed by after its lease", async () => {
  const locks = { request: (_, __, act) => act(null) }; // somebody else has it
  const { clinic, store, save, engine, clock } = await paired({ locks });
  await save("morning_check", MORNING);
  await store.meta.set({ lease: { tab: "frozen", until: clock.now() + 30_000 } });
  assert.equal((await engine.round()).state, "elsewhere");
  clock.pass(95_000);
  assert.equal((await engine.round()).state, "settled");
  assert.equal(clinic.stored.size, 1);
});

test("600 long notes drain within the batch limits", async () => {
  const { clinic, store, save, engine } = await paired();
  for (let at = 0; at < 600; at += 1) await save("note_to_clinic", { text: "x".repeat(900), wants_contact: false });
  await engine.round();
  assert.equal(clinic.stored.size, 600);
  assert.ok(clinic.pushes().every(({ size, data }) => size <= 262_144 && data.entries.length <= 250));
  assert.equal(await store.outbox.count(), 0);
});

test("a rescue that does not answer may hold an entry, so nothing is claimed", async () => {
  const factory = new IDBFactory();
  const open = factory.open.bind(factory);
  factory.open = (name, ...more) => {
    if (name === "boutwise-queue-rescue") throw new DOMException("", "UnknownError");
    return open(name, ...more);
  };
  const { clinic, engine } = await paired({ factory });
  await engine.round();
  assert.ok(clinic.pushes().length > 0);
  assert.deepEqual(clinic.claims, []);
});
