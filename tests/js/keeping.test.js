// What a phone does when it is full, silent, or gives back what it was not given.
import assert from "node:assert/strict";
import { test } from "node:test";
import { IDBFactory } from "fake-indexeddb";
import { currentEntries } from "../../static/patient/model/chain.js";
import { thaw } from "../../static/patient/model/entry.js";
import { holdOf } from "../../static/patient/model/hold.js";
import { answer, makeClinic } from "./clinic.js";
import { CALF, MORNING, PLACE, makeClock, makePhone, makeTimer } from "./world.js";

const PHONE = PLACE.phone_id;

// A phone with room for the reserve or for entries, not for both: a write
// aborts at its end, after its requests succeeded, as a full phone does.
function fullFactory() {
  const factory = new IDBFactory();
  const open = factory.open.bind(factory);
  factory.full = false;
  factory.aborted = 0;
  factory.open = (name, version) => {
    const opening = open(name, version);
    opening.addEventListener("success", () => refuseWhenFull(opening.result, factory));
    return opening;
  };
  return factory;
}

function refuseWhenFull(db, factory) {
  const transaction = db.transaction.bind(db);
  db.transaction = (names, mode, options) => {
    const tx = transaction(names, mode, options);
    if (mode !== "readwrite" || !factory.full) return tx;
    let frees = false;
    for (const name of names) {
      const store = tx.objectStore(name);
      const remove = store.delete.bind(store);
      store.delete = (key) => { frees ||= key === "reserve"; return remove(key); };
      tx.objectStore = ((given) => (asked) => (asked === name ? store : given(asked)))(tx.objectStore.bind(tx));
    }
    tx.commit = () => {
      if (frees) { factory.full = factory.stays ?? false; return; }
      factory.aborted += 1;
      Object.defineProperty(tx, "error", { get: () => new DOMException("", "QuotaExceededError") });
      tx.abort();
    };
    return tx;
  };
}

test("a full phone gives up its reserve and saves the entry", async () => {
  const factory = fullFactory();
  const { store, save } = makePhone({ factory });
  await store.reserve.fill();
  factory.full = true;

  const { saved, where } = await save("morning_check", MORNING);

  assert.deepEqual({ saved, where }, { saved: true, where: "queue" });
  assert.equal(factory.aborted, 1);
  assert.deepEqual(await store.drafts.keys(), []);
});

test("a phone that stays full is told as full, and nothing is called saved", async () => {
  const factory = fullFactory();
  const { store, save } = makePhone({ factory });
  Object.assign(factory, { full: true, stays: true });

  const { saved, code } = await save("morning_check", MORNING);

  assert.deepEqual({ saved, code }, { saved: false, code: "full" });
  assert.deepEqual(await store.entries.all(), []);
});

test("the reserve takes a quarter of a megabyte, once, and comes back after it was used", async () => {
  const factory = new IDBFactory();
  const { store } = makePhone({ factory });
  await store.reserve.fill();
  const first = await store.drafts.get("reserve");
  await store.reserve.fill();
  assert.deepEqual(await store.drafts.get("reserve"), first);
  assert.equal(first.reduce((sum, chunk) => sum + chunk.length, 0), 262_144);

  await store.drafts.drop("reserve");
  await store.reserve.fill();

  assert.equal((await store.drafts.get("reserve")).length, 4);
});

test("a phone that keeps what it is given has no problem", async () => {
  const { store } = makePhone();
  assert.equal(await store.reserve.problem(), null);
});

const BROKEN = {
  full: Object.assign(fullFactory(), { full: true, stays: true }),
  failed: { open() { throw new DOMException("no storage in this window", "SecurityError"); } },
  no_answer: { open: () => ({}) },
};

for (const [problem, factory] of Object.entries(BROKEN)) {
  test(`a store that cannot be written is refused as the log: ${problem}`, async () => {
    const { store } = makePhone({ factory, timer: makeTimer(100) });
    assert.equal(await store.reserve.problem(), problem);
  });
}

test("a store that forgets as soon as it is closed is refused as the log", async () => {
  const { store } = makePhone({ factory: { open: (...given) => new IDBFactory().open(...given) } });
  assert.equal(await store.reserve.problem(), "failed");
});

// The queue's writes never end; reads and the rescue do.
function silentFactory() {
  const factory = new IDBFactory();
  const open = factory.open.bind(factory);
  factory.silent = true;
  factory.asked = 0;
  factory.open = (name, version) => {
    if (name !== "boutwise-queue" || !factory.silent) return open(name, version);
    factory.asked += 1;
    return {};
  };
  return factory;
}

test("after a write without an answer the next saves go to the rescue at once", async () => {
  const factory = silentFactory();
  const clock = makeClock();
  const { store, save } = makePhone({ factory, clock, timer: makeTimer(100) });
  await save("morning_check", MORNING);
  const asked = factory.asked;

  const { saved, where } = await save("morning_check", MORNING);

  assert.deepEqual({ saved, where }, { saved: true, where: "rescue" });
  assert.equal(factory.asked, asked);
  factory.silent = false;
  clock.pass(61_000);
  assert.equal((await save("morning_check", MORNING)).where, "queue");
  assert.equal(await store.entries.mergeRescued(), 2);
});

test("the draft of a rescued entry goes when the entry is merged", async () => {
  const factory = silentFactory();
  factory.silent = false;
  const { store, save } = makePhone({ factory, timer: makeTimer(100) });
  await store.drafts.put("morning", MORNING);
  await store.close();
  factory.silent = true;
  await save("morning_check", MORNING, { draftKey: "morning" });
  factory.silent = false;

  await store.entries.mergeRescued();

  assert.deepEqual(await store.drafts.keys(), []);
});

test("a lost database process, as Safari reports it, is met by opening anew", async () => {
  const factory = new IDBFactory();
  const { store, save } = makePhone({ factory });
  const open = factory.open.bind(factory);
  factory.open = (name, version) => {
    const opening = open(name, version);
    opening.addEventListener("success", () => {
      opening.result.transaction = () => { throw new DOMException("Connection to Indexed Database server lost.", "UnknownError"); };
    });
    factory.open = open;
    return opening;
  };

  assert.equal((await save("morning_check", MORNING)).where, "queue");
  assert.equal((await store.entries.all()).length, 1);
});

async function damage(factory, id, change) {
  const db = await new Promise((resolve) => {
    const opening = factory.open("boutwise-queue");
    opening.onsuccess = () => resolve(opening.result);
  });
  const tx = db.transaction("entries", "readwrite");
  const asked = tx.objectStore("entries").get(id);
  asked.onsuccess = () => tx.objectStore("entries").put({ ...asked.result, ...change });
  await new Promise((resolve) => { tx.oncomplete = resolve; });
  db.close();
}

test("reading back tells an entry that was kept from one that was not", async () => {
  const factory = new IDBFactory();
  const { store, save } = makePhone({ factory });
  const { fields } = await save("morning_check", MORNING);
  assert.equal(await store.entries.isSound(fields.id), true);
  const { body } = await store.entries.get(fields.id);
  await damage(factory, fields.id, { body: body.replace('"knee_pain":2', '"knee_pain":3') });
  assert.equal(await store.entries.isSound(fields.id), false);
  assert.equal(await store.entries.isSound("never saved"), false);
});

const ROW = { id: "e1", number: 4, episode_id: "p1", for_date: "2030-03-04" };
const frozen = (more) => JSON.stringify({ ...ROW, kind: "morning_check", payload: MORNING, local_time: "2030-03-04T09:00:00", ...more });
const UNREADABLE = {
  "half a body": frozen({}).slice(0, 40),
  "no body": undefined,
  "a body that is a number": "7",
  "another entry's body": frozen({ id: "e2" }),
  "a payload that is gone": frozen({ payload: null }),
  "pads without facts": frozen({ kind: "skin_check", payload: { moment: "after", pads: [{}] } }),
  "a kind of a newer app": frozen({ kind: "weather" }),
};

for (const [name, body] of Object.entries(UNREADABLE)) {
  test(`${name} is shown as an entry of its day that cannot be read`, () => {
    const [entry] = currentEntries([thaw({ ...ROW, body })]);
    assert.deepEqual([entry.kind, entry.id, entry.for_date], ["unreadable", "e1", "2030-03-04"]);
  });
}

test("a sound row is shown as it was said", () => {
  assert.deepEqual(thaw({ ...ROW, body: frozen({}) }), JSON.parse(frozen({})));
});

test("a damaged entry that had raised a hold holds both legs", () => {
  assert.equal(holdOf(thaw({ ...ROW, body: "{" })).scope, "all");
});

// As strict as the clinic: a push of the wrong shape is refused whole.
function strictly(clinic) {
  clinic.fault = ({ address, data }, serve) => {
    const fits = ({ body, sha256 }) => typeof body === "string" && /^[0-9a-f]{64}$/.test(sha256);
    return address.endsWith("/push/") && !data.entries.every(fits) ? answer(400, { code: "invalid" }) : serve();
  };
}

for (const [name, change] of Object.entries({ "its text": { body: "{" }, "its body": { body: undefined }, "its hash": { sha256: undefined } })) {
  test(`an entry that lost ${name} is sent as it is, and the clinic holds it`, async () => {
    const clinic = makeClinic({ phoneId: PHONE });
    const factory = new IDBFactory();
    const { store, save, engine } = makePhone({ fetch: clinic.fetch, factory });
    await store.meta.set({ phone_id: PHONE, pairing: "active", log_identity: "log-1" });
    const { fields } = await save("morning_check", MORNING);
    await save("stop_report", CALF);
    await damage(factory, fields.id, change);
    strictly(clinic);

    await engine.round();

    assert.equal(clinic.stored.size, 1);
    assert.equal((await store.entries.get(fields.id)).state, "held");
  });
}
