import assert from "node:assert/strict";
import { test } from "node:test";
import { IDBFactory } from "fake-indexeddb";
import { fitting } from "../../static/patient/net/batch.js";
import { answer, makeClinic } from "./clinic.js";
import { CALF, MONDAY_9, MORNING, PLACE, makePhone, makeTimer } from "./world.js";

const PHONE = PLACE.phone_id;

async function paired(more = {}) {
  const clinic = makeClinic({ phoneId: PHONE });
  const phone = makePhone({ fetch: clinic.fetch, ...more });
  await phone.store.meta.set({ phone_id: PHONE, pairing: "active", log_identity: "log-1" });
  return { clinic, ...phone };
}

const states = async (store) => (await store.entries.all()).map(({ state }) => state);
const program = (...revisions) => ({
  type: "program",
  program: { id: "p1", state: "active", ended_on: null, pauses: [], revisions: revisions.map((id) => ({ id })) },
});

test("a round brings the entry to the clinic and marks it from its receipt", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  assert.equal((await engine.round()).state, "settled");
  assert.equal(clinic.stored.size, 1);
  assert.deepEqual(await states(store), ["confirmed"]);
});

test("nothing is claimed while something stays unsent, and all when nothing does", async () => {
  const { clinic, save, engine } = await paired();
  clinic.limits = { entries: 2, bytes: 262_144 };
  await engine.round(); // learns the limit
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  clinic.requests.length = 0;
  await engine.round();
  const sent = clinic.pushes().map(({ data }) => [data.entries.length, data.claim?.high ?? null]);
  assert.deepEqual(sent, [[2, null], [1, 3]]);
});

// When a claim is from: the clinic's own time and what has run on since, so that
// neither a wrong clock nor a slow way can date it later than it was.
const claims = (clinic) => clinic.pushes().map(({ data }) => data.claim?.heard_ms ?? null);

test("the first claim waits for the clinic's time, in a second message", async () => {
  const { clinic, engine } = await paired();
  clinic.serverMs = 1_000_000;
  await engine.round();
  assert.deepEqual(claims(clinic), [null, 1_000_000]);
});

test("a later claim is dated by what the clinic said and the time that ran since", async () => {
  const { clinic, engine, clock } = await paired();
  clinic.serverMs = 1_000_000;
  await engine.round();
  clock.pass(90_000);
  clinic.requests.length = 0;
  await engine.round();
  assert.deepEqual(claims(clinic), [1_090_000]);
});

const UNSURE = {
  "the clock was set": (clock) => { clock.ms += 3_600_000; },
  "the phone slept": (clock) => { clock.ms += 3_600_000; clock.mono += 1_000; },
  "the clinic was last heard long ago": (clock) => clock.pass(700_000),
};
for (const [name, happens] of Object.entries(UNSURE)) {
  test(`${name}: the claim waits for the clinic's time again`, async () => {
    const { clinic, engine, clock } = await paired();
    await engine.round();
    happens(clock);
    clinic.serverMs = 5_000_000;
    clinic.requests.length = 0;
    await engine.round();
    assert.deepEqual(claims(clinic), [null, 5_000_000]);
  });
}

test("an entry saved while the message was on its way is not behind the claim", async () => {
  const { clinic, save, engine, clock } = await paired();
  clinic.serverMs = 1_000_000;
  await engine.round();
  clinic.requests.length = 0;
  let savedAt = null;
  clinic.fault = async ({ address }, serve) => {
    if (address.endsWith("/push/") && savedAt === null) {
      clock.pass(10_000); // composed, then slow on its way
      await save("morning_check", MORNING);
      savedAt = 1_010_000;
    }
    return serve();
  };
  await engine.round();
  assert.ok(claims(clinic)[0] < savedAt);
});

// Every answer that is not our receipt confirms nothing.
const receiptLike = (data, more) => ({
  log_identity: "log-1", nonce: data.nonce, high: 1, gaps: [], server_ms: 0, limits: {}, retry_after_s: null,
  receipts: data.entries.map(({ body, sha256 }) => ({ id: JSON.parse(body).id, outcome: "stored", sha256, version: 1 })),
  ...more,
});
const TYPE = "application/vnd.boutwise.receipt+json";
const FORGERIES = {
  "a captive portal's page": () => answer(200, "<html>Welcome to Wi-Fi</html>", "text/html"),
  "an empty 200": () => answer(200, "", "text/plain"),
  "a reply cut in its middle": (data) => answer(200, JSON.stringify(receiptLike(data)).slice(0, 80), TYPE),
  "plain JSON of another type": (data) => answer(200, receiptLike(data)),
  "another request's nonce": (data) => answer(200, receiptLike(data, { nonce: "x" }), TYPE),
  "another log's identity": (data) => answer(200, receiptLike(data, { log_identity: "log-9" }), TYPE),
  "another hash": (data) => answer(200, receiptLike(data, { receipts: receiptLike(data).receipts.map((one) => ({ ...one, sha256: "0".repeat(64) })) }), TYPE),
  "an id that was not sent": (data) => answer(200, receiptLike(data, { receipts: receiptLike(data).receipts.map((one) => ({ ...one, id: "0190a000-0000-7000-8000-00000000ffff" })) }), TYPE),
  "an unknown outcome": (data) => answer(200, receiptLike(data, { receipts: receiptLike(data).receipts.map((one) => ({ ...one, outcome: "ok" })) }), TYPE),
  "status 201": (data) => answer(201, receiptLike(data), TYPE),
  "a 500": () => answer(500, "oops", "text/html"),
  "a 511 of a gateway": () => answer(511, "login", "text/html"),
  "a gateway's 401": () => answer(401, "no", "text/html"),
  "no network": () => { throw new TypeError("Failed to fetch"); },
};

for (const [name, forge] of Object.entries(FORGERIES)) {
  test(`${name} confirms nothing, and the next good round does`, async () => {
    const { clinic, store, save, engine } = await paired();
    await save("morning_check", MORNING);
    clinic.fault = ({ address, data }, serve) => (address.endsWith("/push/") ? forge(data) : serve());
    const outcome = await engine.round();
    assert.notEqual(outcome.state, "settled");
    assert.equal(clinic.stored.size, 0);
    assert.ok((await states(store)).every((state) => ["stored", "offered"].includes(state)));
    assert.equal(await store.meta.get("pairing"), "active");

    clinic.fault = null;
    assert.equal((await engine.round()).state, "settled");
    assert.deepEqual(await states(store), ["confirmed"]);
    assert.equal(clinic.stored.size, 1);
  });
}

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

test("one entry no server takes does not hold up its neighbours, and nothing is claimed", async () => {
  const { clinic, store, save, engine } = await paired();
  for (let at = 0; at < 4; at += 1) await save("morning_check", MORNING);
  await save("note_to_clinic", { text: "poison", wants_contact: false });
  for (let at = 0; at < 4; at += 1) await save("morning_check", MORNING);
  const poisoned = ({ data }) => data?.entries?.some(({ body }) => body.includes("poison"));
  clinic.fault = (request, serve) => (poisoned(request) ? answer(413, { code: "too_large" }) : serve());
  assert.equal((await engine.round()).state, "stuck");
  assert.equal(clinic.stored.size, 8);
  assert.deepEqual((await states(store)).filter((state) => state !== "confirmed"), ["offered"]);
  assert.deepEqual(clinic.claims, []);
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

test("nothing is claimed beside a stop report while other numbers wait", async () => {
  const { clinic, save, engine } = await paired();
  await engine.round();
  await save("morning_check", MORNING);
  await save("stop_report", CALF);
  const before = clinic.pushes().length;
  await engine.round();
  const claims = clinic.pushes().slice(before).map(({ data }) => Boolean(data.claim));
  assert.deepEqual(claims, [false, true]);
});

test("what raised a hold overtakes what did not, behind a stop report", () => {
  const rows = [{ number: 1, kind: "bout" }, { number: 2, kind: "skin_check", holding: 1 }, { number: 3, kind: "note_to_clinic" }];
  const limits = { entries: 250, bytes: 262_144 };
  const numbers = (some) => fitting(some.map((row) => ({ body: "{}", sha256: "0".repeat(64), ...row })), limits).map(({ number }) => number);
  assert.deepEqual(numbers(rows), [2]);
  assert.deepEqual(numbers(rows.filter(({ number }) => number !== 2)), [1, 3]);
});

test("a restored clinic with an older log is offered everything again", async () => {
  const { clinic, store, save, engine } = await paired();
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  await engine.round();
  clinic.stored.clear();
  clinic.identity = "log-2";
  assert.equal((await engine.round()).state, "settled");
  assert.equal(clinic.stored.size, 3);
  assert.equal(await store.meta.get("log_identity"), "log-2");
  assert.ok((await states(store)).every((state) => state === "confirmed"));
});

test("the same log whose numbers went backwards is offered what it lost", async () => {
  const { clinic, save, engine } = await paired();
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  await engine.round();
  const [first] = clinic.stored.keys();
  for (const id of [...clinic.stored.keys()]) if (id !== first) clinic.stored.delete(id);
  clinic.announced = 0;
  await engine.round();
  assert.equal(clinic.stored.size, 3);
});

test("a hole in the clinic's numbers is filled", async () => {
  const { clinic, save, engine } = await paired();
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  await engine.round();
  clinic.stored.delete([...clinic.stored.keys()][1]);
  await engine.round();
  assert.equal(clinic.stored.size, 3);
});

test("a pull that is cut goes on where its pages stopped", async () => {
  const { clinic, store, engine } = await paired();
  for (const id of ["h1", "h2", "h3", "h4", "h5"]) {
    clinic.tell({ type: "hold", hold: { id, entry_id: id, scope: "all", episode_id: null } });
  }
  let pulls = 0;
  clinic.fault = ({ address }, serve) => {
    if (address.includes("/pull/") && (pulls += 1) === 2) throw new TypeError("cut");
    return serve();
  };
  await engine.round();
  assert.equal((await store.record.safety()).placed.length, 2);
  clinic.fault = null;
  clinic.requests.length = 0;
  await engine.round();
  assert.equal((await store.record.safety()).placed.length, 5);
  assert.match(clinic.requests.find(({ address }) => address.includes("/pull/")).address, /log-1%3A2$/);
});

test("another log is fetched whole before anything of the old one goes", async () => {
  const { clinic, store, engine } = await paired();
  clinic.tell({ type: "hold", hold: { id: "old", entry_id: "old", scope: "all", episode_id: null } });
  await engine.round();
  clinic.identity = "log-2";
  clinic.changes.length = 0;
  for (const id of ["n1", "n2", "n3"]) clinic.tell({ type: "hold", hold: { id, entry_id: id, scope: "all", episode_id: null } });
  let pulls = 0;
  clinic.fault = ({ address }, serve) => {
    if (address.includes("/pull/") && (pulls += 1) === 2) throw new TypeError("cut");
    return serve();
  };
  await engine.round();
  assert.deepEqual((await store.record.safety()).placed.map(({ id }) => id), ["old"]);
  clinic.fault = null;
  await engine.round();
  assert.deepEqual((await store.record.safety()).placed.map(({ id }) => id), ["n1", "n2", "n3"]);
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

test("a wiped phone tells so although a restored clinic has heard nothing from it", async () => {
  const clinic = makeClinic({ phoneId: PHONE });
  clinic.age_s = 86_400;
  const wiped = makePhone({ fetch: clinic.fetch });
  await wiped.engine.pairing.ask();
  await wiped.engine.round();
  assert.ok(clinic.pushes().length);
  assert.ok(clinic.pushes().every(({ data }) => data.cleared_ms === MONDAY_9));
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

test("pairing anew waits until what is unsent was exported", async () => {
  const { save, engine } = await paired();
  await save("morning_check", MORNING);
  assert.deepEqual(await engine.pairing.redeem("BCDFG-HJKLM", "Phone"), { paired: false, problem: "unsent_entries" });
  assert.deepEqual(await engine.pairing.redeem("BCDFG-HJKLM", "Phone", { exported: true }), { paired: true, state: "active" });
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

test("a restored clinic is offered confirmed entries of an earlier pairing too, once they were said to be mine", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  await engine.round();
  clinic.phoneId = "0190a000-0000-7000-8000-000000000077";
  await engine.pairing.redeem("BCDFG-HJKLM", "Phone");
  await store.meta.set({ earlier_mine: clinic.phoneId });
  await engine.round();
  clinic.stored.clear();
  clinic.announced = 0;
  clinic.identity = "log-2";
  await engine.round();
  assert.equal(clinic.stored.size, 1);
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

test("a clinic that lost rows under the same name is heard from its start", async () => {
  const { clinic, store, save, engine } = await paired();
  const hold = (id) => ({ type: "hold", hold: { id, entry_id: id, scope: "all", episode_id: null } });
  clinic.tell(hold("old"));
  for (const _ of [1, 2]) await save("morning_check", MORNING);
  await engine.round();
  clinic.stored.clear(); // a standby took over without its last commits
  clinic.announced = 0;
  clinic.changes.length = 0;
  clinic.tell(hold("new")); // under a version this phone believes to have
  await engine.round();
  assert.deepEqual((await store.record.safety()).placed.map(({ id }) => id), ["new"]);
  assert.equal(clinic.stored.size, 2);
});

test("a forged receipt of another log makes the phone offer nothing again", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  await engine.round();
  await save("morning_check", MORNING);
  clinic.fault = ({ address, data }, serve) => (address.endsWith("/push/") ? answer(200, receiptLike(data, { log_identity: "log-9" }), TYPE) : serve());
  assert.equal((await engine.round()).state, "no_sense");
  assert.deepEqual((await states(store)).sort(), ["confirmed", "offered"]);
});

test("entries of an earlier pairing that a restored log lacks are offered when said to be mine, others are not", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  await engine.round();
  clinic.phoneId = "0190a000-0000-7000-8000-000000000077";
  await engine.pairing.redeem("BCDFG-HJKLM", "Phone");
  await engine.round();
  assert.equal(await store.outbox.offerFromOtherLogs(await store.meta.all()), 0);
  clinic.stored.clear();
  clinic.announced = 0;
  clinic.identity = "log-2";
  await engine.round();
  assert.equal(await store.outbox.offerFromOtherLogs(await store.meta.all()), 1);
});
