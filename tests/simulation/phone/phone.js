// A phone: one storage, one clock, up to two open pages of the app.
import { createHash } from "node:crypto";
import { makeFactory, rows, stop } from "./storage.js";

const sha = (text) => createHash("sha256").update(text).digest("hex");

function makeRandom(seed) {
  let state = seed >>> 0;
  return (count) => Uint8Array.from({ length: count }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state >>> 24;
  });
}

export class Phone {
  step_ms = 1;
  tabs = new Map();
  #core;
  #loop;
  #hangs = []; // {until, names}
  #faults = []; // {error, left, names}
  #killAt = null;
  #held = new Map();
  #runs = 0;

  constructor({ name, seed, core, loop, ask, report, second }) {
    this.name = name;
    this.#core = core;
    this.#loop = loop;
    this.ask = ask;
    this.report = report;
    this.random = makeRandom(seed);
    this.factory = makeFactory(this);
    this.second = second ? makeFactory(this) : null;
    this.setting = { skew_ms: 0, offset_min: 0, zone: "UTC", locks: true, latency_ms: 30 };
  }

  get wall() {
    return Math.floor(this.#loop.now + this.setting.skew_ms);
  }

  // --- faults of storage and life -----------------------------------------

  hangFor(name) {
    const now = this.#loop.now;
    return Math.max(0, ...this.#hangs.filter(({ names }) => names.includes(name)).map(({ until }) => until - now));
  }

  faultOf(name) {
    const fault = this.#faults.find(({ left, names }) => left > 0 && names.includes(name));
    if (!fault) return null;
    fault.left -= 1;
    return fault.error;
  }

  spoil({ hang_ms = 0, error = null, times = 1, names }) {
    if (hang_ms) this.#hangs.push({ until: this.#loop.now + hang_ms, names });
    if (error) this.#faults.push({ error, left: times, names });
  }

  heal() {
    this.#hangs = [];
    this.#faults = [];
    this.#killAt = null;
    for (const tab of this.tabs.values()) tab.thaw();
  }

  // `from` "save" counts only from the write of the next new entry on, "record"
  // from the next write of what the clinic told.
  killAfter({ turns, how, from = "now" }) {
    this.#killAt = { turns, how, from, counts: from === "now" };
  }

  wrote(what) {
    if (this.#killAt?.from === what) this.#killAt.counts = true;
  }

  // Called for each task that runs on this phone's behalf.
  turned() {
    if (!this.#killAt?.counts || (this.#killAt.turns -= 1) > 0) return;
    const { how } = this.#killAt;
    this.#killAt = null;
    this.#loop.queue(() => this.kill(how), { owner: null });
  }

  kill({ committed, leaves = false }) {
    const lost = stop(this.factory, committed || leaves);
    if (this.second) stop(this.second, committed);
    for (const tab of this.tabs.values()) tab.dead = true;
    this.tabs.clear();
    this.#held.clear();
    this.report({ killed: this.name, lost_saves: leaves ? lost : 0 });
  }

  wipe() {
    this.kill({ committed: true });
    this.factory = makeFactory(this);
    if (this.second) this.second = makeFactory(this);
  }

  // The browser begins anew after a torn record; its second place is untouched.
  throwAway() {
    this.kill({ committed: true });
    this.factory = makeFactory(this);
  }

  flip(nth) {
    const waiting = rows(this.factory, "boutwise-queue", "entries").filter(({ state }) => state === "stored");
    const row = waiting[nth % Math.max(1, waiting.length)];
    if (!row) return null;
    const at = row.body.length >> 1;
    row.body = row.body.slice(0, at) + String.fromCharCode(row.body.charCodeAt(at) ^ 1) + row.body.slice(at + 1);
    return row.id;
  }

  // --- what a browser gives ---------------------------------------------------

  #locks() {
    return {
      request: async (name, _, act) => {
        if (this.#held.has(name)) return act(null);
        const mine = {};
        this.#held.set(name, mine);
        try {
          return await act(mine);
        } finally {
          if (this.#held.get(name) === mine) this.#held.delete(name);
        }
      },
    };
  }

  open(name) {
    this.#runs += 1;
    const tab = new Tab(this, name, `${this.name}-${this.#runs}`, this.#core, this.#loop);
    this.tabs.set(name, tab);
    this.#loop.owner = tab;
    tab.start(this.setting.locks ? this.#locks() : null);
    return tab;
  }

  waits() {
    return rows(this.factory, "boutwise-queue", "entries").some(({ state }) => state === "stored" || state === "offered");
  }

  look(full) {
    const queue = (store) => rows(this.factory, "boutwise-queue", store);
    const record = (store) => rows(this.factory, "boutwise-record", store);
    const meta = Object.fromEntries(queue("meta").map(({ key, value }) => [key, value]));
    const entries = queue("entries").map(({ id, number, state, phone_id, sha256, body, receipt }) =>
      ({ id, number, state, phone_id, sha256, digest: sha(body), outcome: receipt?.outcome ?? null }));
    const rescued = rows(this.factory, "boutwise-queue-rescue", "entries").map(({ id }) => id);
    const seen = { entries, rescued, meta };
    if (!full) return seen;
    const kinds = ["program", "hold", "lift", "entry", "entry_state", "strength_test", "single"];
    return { ...seen, record: Object.fromEntries(kinds.map((kind) => [kind, record(kind)])) };
  }
}

class Tab {
  dead = false;
  frozen = null;

  constructor(phone, name, run, core, loop) {
    Object.assign(this, { phone, name, run, core, loop, began: loop.now });
  }

  #clock() {
    const { phone, loop } = this;
    return {
      now: () => phone.wall,
      reading: () => ({
        now_ms: phone.wall, mono_ms: loop.now - this.began, run: this.run,
        offset_min: phone.setting.offset_min, zone: phone.setting.zone,
      }),
    };
  }

  #timer() {
    const { loop } = this;
    const set = (act, ms) => loop.queue(act, { after: ms, owner: this });
    const every = (act, ms) => set(() => { act(); every(act, ms); }, ms);
    return { set, every, clear: (task) => loop.cancel(task) };
  }

  start(locks) {
    const { phone, core } = this;
    const parts = { timer: this.#timer(), clock: this.#clock(), random: phone.random };
    this.clock = parts.clock;
    this.store = core.openStore({ factory: phone.factory, second: async () => phone.second, ...parts });
    if (phone.second) this.store.matchCopies().catch(() => {});
    this.engine = core.makeEngine({
      ...parts, store: this.store, locks, build: "sim", fetch: (...given) => this.#fetch(...given),
      tell: ({ state, error }) => {
        if (state !== "running") phone.report({ told: state, phone: phone.name, error: error && String(error.stack) });
      },
    });
  }

  #fetch(address, { method, body = null, headers = {}, signal }) {
    const { phone, loop } = this;
    return new Promise((resolve, reject) => {
      signal.addEventListener("abort", () => reject(new Error("aborted")));
      loop.queue(() => {
        const asked = { fetch: { phone: phone.name, address, method, body, headers, at_ms: loop.now } };
        const { delay_ms, outcome, reply } = phone.ask(asked);
        if (outcome === "hang") return;
        loop.queue(() => (outcome === "reply" ? resolve(response(reply)) : reject(new TypeError("network"))), { after: delay_ms, owner: this });
      }, { after: phone.setting.latency_ms, owner: this, kind: "network" });
    });
  }

  freeze() {
    this.frozen ??= [];
  }

  thaw() {
    const acts = this.frozen ?? [];
    this.frozen = null;
    acts.forEach((act) => this.loop.queue(act, { owner: this }));
  }
}

function response({ status, headers, text, cut }) {
  return {
    status,
    headers: { get: (name) => headers[name] ?? null },
    text: async () => {
      if (cut) throw new TypeError("connection reset");
      return text;
    },
  };
}
