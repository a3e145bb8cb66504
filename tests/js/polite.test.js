// Rounds end, locks are let go, and nothing unsent is ever without a next try.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Pacer } from "../../static/patient/net/pacer.js";
import { makeClinic } from "./clinic.js";
import { MORNING, PLACE, makePhone, makeRandom, makeTimer } from "./world.js";

const PHONE = PLACE.phone_id;
const states = async (store) => (await store.entries.all()).map(({ state }) => state);

// Answers like the browser: one holder at a time.
function oneLock() {
  let held = false;
  return {
    isHeld: () => held,
    async request(_, { ifAvailable }, act) {
      if (held && ifAvailable) return act(null);
      held = true;
      return Promise.resolve(act({})).finally(() => { held = false; });
    },
  };
}

async function paired(more = {}) {
  const clinic = makeClinic({ phoneId: PHONE });
  const phone = makePhone({ fetch: (...given) => clinic.fetch(...given), ...more });
  await phone.store.meta.set({ phone_id: PHONE, pairing: "active", log_identity: "log-1" });
  return { clinic, ...phone };
}

const hangs = (_, __, { signal }) => new Promise((___, reject) => {
  signal.addEventListener("abort", () => reject(new DOMException("", "AbortError")));
});

async function pushedAndHanging(clinic) {
  while (!clinic.pushes().length) await new Promise((resolve) => { setTimeout(resolve, 1); });
}

test("a page that goes out of sight lets the lock go while its round still ends well", async () => {
  const locks = oneLock();
  const { clinic, store, save, engine } = await paired({ locks });
  await save("morning_check", MORNING);
  let goOn;
  clinic.fault = async (_, serve) => { await new Promise((resolve) => { goOn = resolve; }); clinic.fault = null; return serve(); };
  const round = engine.round();
  await pushedAndHanging(clinic);
  assert.equal(locks.isHeld(), true);

  engine.hidden();
  await new Promise((resolve) => { setTimeout(resolve, 1); });

  assert.equal(locks.isHeld(), false);
  goOn();
  assert.equal((await round).state, "settled");
  assert.deepEqual(await states(store), ["confirmed"]);
});

test("a page that is put away ends its requests itself and keeps everything", async () => {
  const locks = oneLock();
  const noDeadline = { set: () => 0, clear: () => {}, every: () => null };
  const { clinic, store, save, engine } = await paired({ locks, timer: noDeadline });
  await save("morning_check", MORNING);
  clinic.fault = hangs;
  const round = engine.round();
  await pushedAndHanging(clinic);

  engine.left();

  assert.equal((await round).state, "offline");
  assert.equal(locks.isHeld(), false);
  assert.deepEqual(await states(store), ["offered"]);
  clinic.fault = null;
  assert.equal((await engine.round()).state, "settled");
  assert.deepEqual(await states(store), ["confirmed"]);
});

test("a round over a link that trickles ends after 30 s, with what came through kept", async () => {
  const asked = [];
  const timer = { ...makeTimer(), set: (act, ms) => { asked.push({ act, ms }); return setTimeout(() => {}, 0); } };
  const { clinic, store, save, engine } = await paired({ timer });
  clinic.limits = { entries: 1, bytes: 262_144 };
  await store.meta.set({ limits: clinic.limits });
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  clinic.fault = (request, serve, options) => {
    if (clinic.pushes().length < 3) return serve();
    setTimeout(() => asked.find(({ ms }) => ms === 30_000).act(), 1);
    return hangs(request, serve, options);
  };

  assert.equal((await engine.round()).state, "offline");

  assert.equal(clinic.pushes().length, 3);
  assert.deepEqual((await states(store)).sort(), ["confirmed", "confirmed", "offered"]);
});

test("once its 30 s are over a round asks for nothing more, not even for half a batch", async () => {
  const asked = [];
  const timer = { set: (act, ms) => { asked.push({ act, ms }); return 0; }, clear: () => {}, every: () => null };
  const { clinic, save, engine } = await paired({ timer });
  for (const _ of [1, 2, 3, 4]) await save("morning_check", MORNING);
  clinic.fault = hangs;
  const round = engine.round();
  await pushedAndHanging(clinic);

  asked.find(({ ms }) => ms === 30_000).act();

  assert.equal((await round).state, "offline");
  assert.equal(clinic.requests.length, 1);
  clinic.fault = null;
  await engine.round();
  assert.deepEqual(clinic.pushes().map(({ data }) => data.entries.length), [4, 2, 2]);
});

test("a lock that is never given or refused does not stop the rounds for ever", async () => {
  const locks = oneLock();
  const { clinic, save, engine } = await paired({ locks, timer: makeTimer(200, 10_000) });
  await save("morning_check", MORNING);
  const { request } = locks;
  locks.request = () => new Promise(() => {});
  assert.equal((await engine.pacer.now()).state, "failed");

  locks.request = request;
  await engine.pacer.now();

  assert.equal(clinic.stored.size, 1);
});

// Time that only moves when it is told to.
function madeTime() {
  const time = { now: 0, waits: new Map(), every: null };
  let name = 0;
  time.timer = {
    set: (act, ms) => { name += 1; time.waits.set(name, { act, due: time.now + ms }); return name; },
    clear: (wait) => time.waits.delete(wait),
    every: (act, ms) => { time.every = { act, ms }; return 1; },
  };
  time.step = async (ms) => {
    time.now += ms;
    for (const [wait, { act, due }] of [...time.waits]) if (due <= time.now && time.waits.delete(wait)) act();
    if (time.every && time.now % time.every.ms === 0) time.every.act();
    for (let turn = 0; turn < 10; turn += 1) await null;
  };
  return time;
}

const ENDS = ["offline", "no_sense", "failed", "elsewhere", "settled", "stuck", "waiting", "throws"];
const LONGEST_WAIT_MS = 300_000 + 60_000;

test("with something unsent there is always a next try, whatever the rounds came to", async () => {
  for (let seed = 1; seed <= 60; seed += 1) {
    const random = makeRandom(seed);
    const time = madeTime();
    const starts = [];
    const run = async () => {
      starts.push(time.now);
      const state = ENDS[random(1)[0] % ENDS.length];
      if (state === "throws") throw new Error("bug");
      return { state };
    };
    const pacer = new Pacer({ run, timer: time.timer, chance: () => random(1)[0] / 256, tell: () => {} });
    pacer.watch(() => true);
    await pacer.now();
    for (let at = 0; at < 720; at += 1) await time.step(10_000); // two hours
    const gaps = [...starts.slice(1), time.now].map((start, at) => start - starts[at]);
    assert.ok(Math.max(...gaps) <= LONGEST_WAIT_MS, `seed ${seed}: ${Math.max(...gaps)} ms without a try`);
  }
});

test("with nothing unsent the watch starts no round", async () => {
  const time = madeTime();
  let runs = 0;
  const pacer = new Pacer({ run: async () => { runs += 1; return { state: "settled" }; }, timer: time.timer, chance: () => 1, tell: () => {} });
  pacer.watch(() => false);
  for (let at = 0; at < 60; at += 1) await time.step(10_000);
  assert.equal(runs, 0);
});

test("a round elsewhere is tried again after ten seconds: the other tab may be gone", async () => {
  const time = madeTime();
  let runs = 0;
  const pacer = new Pacer({ run: async () => { runs += 1; return { state: runs === 1 ? "elsewhere" : "settled" }; }, timer: time.timer, chance: () => 1, tell: () => {} });
  await pacer.now();
  for (let at = 0; at < 6; at += 1) await time.step(10_000);
  assert.equal(runs, 2);
});
