// Photos go to the clinic after everything else, once, and are believed to be
// there only by their own receipt.
import assert from "node:assert/strict";
import { test } from "node:test";
import { IDBFactory } from "fake-indexeddb";
import { answer } from "./clinic.js";
import { PHONE, TYPE, paired } from "./paired.js";
import { MORNING } from "./world.js";

const SKIN = Object.freeze({ bout_id: null, moment: "next_morning", pads: [] });
const WANTED = { type: "texts", texts: { photos: true } };
const bytes = Uint8Array.from({ length: 64 }, (_, at) => at).buffer;
const isPhoto = ({ address }) => address.includes("/photos/");
const waits = () => new Promise((resolve) => { setTimeout(resolve, 5); });

// A phone with a skin check and a photo of it, both unsent.
async function withPhoto(more) {
  const phone = await paired(more);
  const { clinic, store, engine, save } = phone;
  clinic.tell(WANTED);
  const { fields } = await save("skin_check", SKIN);
  await store.photos.keep({ id: "photo-1", entry_id: fields.id, phone_id: PHONE, bytes });
  const round = async () => {
    const outcome = await engine.round();
    if (outcome.state === "settled") await engine.photos.begin();
    return outcome;
  };
  const rows = async () => (await store.photos.rows(PHONE)).map(({ state, reason }) => [state, reason].filter(Boolean).join(" "));
  const sent = () => clinic.requests.filter(isPhoto);
  return { ...phone, check: fields.id, round, rows, sent };
}

test("the entry goes first, then its photo, and then the picture leaves the phone", async () => {
  const { clinic, check, engine, rows, clock } = await withPhoto();
  assert.equal((await engine.pacer.now()).state, "settled");
  await engine.photos.begin(); // the one that the round began
  const order = clinic.requests.map(({ address }) => address);
  assert.ok(order.findIndex((one) => one.includes("/push/")) < order.findIndex((one) => one.includes(`entry=${check}`)));
  assert.deepEqual(clinic.photos.get("photo-1"), { bytes: Buffer.from(bytes), taken_ms: clock.ms });
  assert.deepEqual(await rows(), ["sent"]);
});

test("of a photo that the clinic has removed the phone says so, and lets go of it at a tap", async () => {
  const { clinic, check, round, rows, store, sent } = await withPhoto();
  await round();
  clinic.tell({ type: "entry_state", id: check, state: "stored", reason: null, photo_gone: "photo-1" });
  await round();
  assert.deepEqual(await rows(), ["gone"]);
  await store.photos.remove("photo-1");
  assert.deepEqual([await rows(), sent().length], [[], 1]);
});

test("a photo that the clinic has is never sent again", async () => {
  const { round, sent } = await withPhoto();
  for (const _ of [1, 2, 3]) await round();
  assert.equal(sent().length, 1);
});

test("a round that did not come to its end sends no photo", async () => {
  const { clinic, round, rows, sent } = await withPhoto();
  clinic.fault = (request, serve) => (request.address.includes("/pull/") ? answer(500, {}) : serve());
  assert.notEqual((await round()).state, "settled");
  assert.deepEqual([await rows(), sent().length], [["waiting"], 0]);
});

test("while an entry waits no photo goes", async () => {
  const { engine, rows, sent, save } = await withPhoto();
  await engine.round();
  await save("morning_check", MORNING);
  await engine.photos.begin();
  assert.deepEqual([await rows(), sent().length], [["waiting"], 0]);
});

test("an entry that is saved while a photo is on its way does not wait for it", async () => {
  const { clinic, engine, rows, save, store } = await withPhoto();
  clinic.fault = (request, serve, { signal }) => (isPhoto(request)
    ? new Promise((_, reject) => { signal.addEventListener("abort", () => reject(new TypeError("aborted"))); })
    : serve());
  await engine.pacer.now();
  while (!clinic.requests.some(isPhoto)) await waits();
  await save("morning_check", MORNING);
  assert.equal((await engine.pacer.now()).state, "settled");
  assert.equal(await store.outbox.count(), 0);
  assert.deepEqual(await rows(), ["waiting"]);
  clinic.fault = null;
  await engine.pacer.now();
  await engine.photos.begin();
  assert.deepEqual(await rows(), ["sent"]);
});

test("a photo whose check the clinic holds in doubt waits", async () => {
  const { clinic, round, rows, sent, check } = await withPhoto();
  clinic.unreadable.add(check);
  await round();
  assert.deepEqual([await rows(), sent().length], [["waiting"], 0]);
});

const SHA = /^[0-9a-f]{64}$/;
const LIES = {
  "a gateway's page": () => answer(200, "<html>", "text/html"),
  "a plain yes": (id, sha256) => answer(200, { id, sha256, state: "kept" }),
  "a receipt of another photo": (_, sha256) => answer(200, { id: "photo-2", sha256, state: "kept" }, TYPE),
  "a receipt of another picture": (id) => answer(200, { id, sha256: "0".repeat(64), state: "kept" }, TYPE),
  "a server in trouble": () => answer(503, { code: "busy" }, "application/json", { "Retry-After": "60" }),
};

for (const [what, lie] of Object.entries(LIES)) {
  test(`the photo stays after ${what}`, async () => {
    const { clinic, round, rows, store } = await withPhoto();
    const [{ sha256 }] = await store.photos.rows(PHONE);
    assert.match(sha256, SHA);
    clinic.fault = (request, serve) => (isPhoto(request) ? lie("photo-1", sha256) : serve());
    assert.equal((await round()).state, "settled");
    assert.deepEqual(await rows(), ["waiting"]);
  });
}

test("without a network the photo stays and goes with the next round", async () => {
  const { clinic, round, rows } = await withPhoto();
  clinic.fault = (request, serve) => { if (isPhoto(request)) throw new TypeError("Failed to fetch"); return serve(); };
  assert.equal((await round()).state, "settled");
  assert.deepEqual(await rows(), ["waiting"]);
  clinic.fault = null;
  await round();
  assert.deepEqual(await rows(), ["sent"]);
});

test("a clinic that asked for rest is not sent the photo before", async () => {
  const { clinic, round, rows, sent, clock } = await withPhoto();
  clinic.fault = (request, serve) => (isPhoto(request) ? answer(429, { code: "too_many_tries" }, "application/json", { "Retry-After": "90" }) : serve());
  await round();
  clinic.fault = null;
  clock.pass(80_000);
  await round();
  assert.equal(sent().length, 1);
  clock.pass(20_000);
  await round();
  assert.deepEqual(await rows(), ["sent"]);
});

const REFUSALS = { photos_off: 403, photo_too_large: 413, photo_unreadable: 400, photo_too_many: 409, photo_id_taken: 409 };

for (const [code, status] of Object.entries(REFUSALS)) {
  test(`${code}: refused with its reason, and not tried again`, async () => {
    const { clinic, round, rows, sent } = await withPhoto();
    clinic.fault = (request, serve) => (isPhoto(request) ? answer(status, { code, message: "m" }) : serve());
    assert.equal((await round()).state, "settled");
    await round();
    const [row] = await rows();
    assert.match(row, /^refused \w+$/);
    assert.equal(sent().length, 1);
  });
}

test("a check that has not come to the clinic yet lets its photo wait and the next one go", async () => {
  const { clinic, round, rows, store, check } = await withPhoto();
  await store.photos.keep({ id: "photo-2", entry_id: check, phone_id: PHONE, bytes });
  clinic.fault = (request, serve) => (request.address.includes("photo-1") ? answer(409, { code: "photo_entry_unknown" }) : serve());
  await round();
  assert.deepEqual((await rows()).sort(), ["sent", "waiting"]);
});

test("a clinic that takes no photos any more is sent none", async () => {
  const { clinic, round, rows, sent } = await withPhoto();
  clinic.tell({ type: "texts", texts: {} });
  await round();
  assert.deepEqual([await rows(), sent().length], [["refused off"], 0]);
});

test("a photo of another pairing is not sent but removed", async () => {
  const { clinic, round, store, check } = await withPhoto();
  await store.photos.keep({ id: "theirs", entry_id: check, phone_id: "another", bytes });
  await round();
  assert.deepEqual([...clinic.photos.keys()], ["photo-1"]);
  assert.deepEqual(await store.photos.rows("another"), []);
});

test("a removed photo that never went is not sent", async () => {
  const { round, sent, store } = await withPhoto();
  await store.photos.remove("photo-1");
  await round();
  assert.deepEqual(sent(), []);
});

test("removed without a network, the clinic removes it in a later round", async () => {
  const { clinic, round, rows, store } = await withPhoto();
  await round();
  await store.photos.remove("photo-1");
  clinic.fault = () => { throw new TypeError("Failed to fetch"); };
  await round();
  assert.deepEqual([await rows(), clinic.photos.size], [["removing"], 1]);
  clinic.fault = null;
  await round();
  assert.deepEqual([await rows(), clinic.photos.size], [[], 0]);
});

test("a removal is believed only by its own receipt", async () => {
  const { clinic, round, rows, store } = await withPhoto();
  await round();
  await store.photos.remove("photo-1");
  clinic.fault = (request, serve) => (isPhoto(request) ? answer(200, { id: "photo-2", state: "deleted" }, TYPE) : serve());
  await round();
  assert.deepEqual(await rows(), ["removing"]);
});

test("the removal of one that may be on its way comes after it", async () => {
  const { clinic, round, rows, store, sent, clock } = await withPhoto();
  clinic.fault = (request, serve) => { if (isPhoto(request)) throw new TypeError("connection reset"); return serve(); };
  await round();
  clinic.fault = null;
  await store.photos.remove("photo-1");
  await round();
  assert.deepEqual([await rows(), sent().length], [["removing"], 1]);
  clock.pass(130_000);
  await round();
  assert.deepEqual([await rows(), sent().at(-1).method], [[], "DELETE"]);
});

test("one that the clinic had removed before it came again is gone here too", async () => {
  const { clinic, round, rows, store } = await withPhoto();
  const [{ sha256 }] = await store.photos.rows(PHONE);
  clinic.fault = (request, serve) => (isPhoto(request) ? answer(200, { id: "photo-1", sha256, state: "deleted" }, TYPE) : serve());
  await round();
  assert.deepEqual(await rows(), []);
});

test("photos that cannot be read leave every round good", async () => {
  const factory = new IDBFactory();
  const phone = await paired({ factory });
  const open = factory.open.bind(factory);
  factory.open = (name, version) => {
    if (name === "boutwise-photos") throw new DOMException("", "UnknownError");
    return open(name, version);
  };
  await phone.save("morning_check", MORNING);
  assert.equal((await phone.engine.pacer.now()).state, "settled");
  await phone.engine.photos.begin();
  assert.equal((await phone.engine.pacer.now()).state, "settled");
});

const ENDS = {
  "a phone that is left": async ({ engine }) => engine.pairing.leave(),
  "a phone that is paired as another": async ({ clinic, engine }) => { clinic.phoneId = "another-phone"; await engine.pairing.redeem("CODE", "phone"); },
  "a stolen phone": async ({ clinic, engine }) => {
    clinic.fault = () => answer(401, { code: "phone_revoked", revoked: "stolen", message: "" });
    await engine.round();
  },
};

for (const [what, end] of Object.entries(ENDS)) {
  test(`${what} keeps no photo`, async () => {
    const phone = await withPhoto();
    await phone.engine.round();
    assert.deepEqual(await phone.rows(), ["waiting"]);
    await end(phone);
    assert.deepEqual(await phone.rows(), []);
  });
}

test("a phone that is paired again as itself keeps its photos", async () => {
  const { clinic, engine, rows, store } = await withPhoto();
  await engine.round();
  await store.meta.set({ phone_id: null });
  clinic.phoneId = PHONE;
  await engine.pairing.redeem("CODE", "phone");
  assert.deepEqual(await rows(), ["waiting"]);
});
