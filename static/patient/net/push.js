// Push until nothing waits. Each answer is believed only through its receipts.
import { LIMITS, fitting, itemOf, tighter } from "./batch.js";
import { confirmedBy, isOurs } from "./receipts.js";
import { verdict } from "./verdict.js";

const PROTOCOL = 1;
const HEARD_MS = 600_000; // no clock runs wrong by more than a blink in this time
const EVEN_MS = 2_000;

export class Push {
  #api;
  #store;
  #clock;
  #nonce;
  #build;
  #size = LIMITS.entries;
  #heard = null;

  constructor({ api, store, clock, nonce, build }) {
    this.#api = api;
    this.#store = store;
    this.#clock = clock;
    this.#nonce = nonce;
    this.#build = build;
  }

  // {state: "sent", last} when the queue is empty and the claim was made;
  // otherwise the state that ended it. `identity` is the log we know; `lost`
  // are numbers it misses and that this phone does not have.
  async run(identity, lost = []) {
    const put_by = new Set();
    let asked = false;
    for (;;) {
      const picture = { ...(await this.#picture(put_by)), lost };
      const step = await this.#once(picture, identity);
      if (step.state !== "more") return step;
      step.put_by?.forEach((id) => put_by.add(id));
      if (!step.done) continue;
      if (put_by.size) return { state: "stuck", last: step.last };
      // All is there; now that the clinic told the time, say so in a second message.
      const whole = picture.claims && step.last.high === picture.high && !step.last.gaps?.length;
      if (asked || picture.heard_ms !== null || !whole) return { state: "sent", last: step.last };
      asked = true;
    }
  }

  // The clinic's time by now, from its last answer and the clock that only runs
  // on: never later than the truth, however long our message will be on its way.
  // Null when too long ago, or when the phone slept or its clock was set since.
  #heardNow() {
    if (!this.#heard) return null;
    const { now_ms, mono_ms } = this.#clock.reading();
    const ran = mono_ms - this.#heard.mono_ms;
    const even = Math.abs(now_ms - this.#heard.now_ms - ran) < EVEN_MS;
    return even && ran < HEARD_MS ? Math.floor(this.#heard.server_ms + ran) : null;
  }

  async #picture(put_by) {
    const heard_ms = this.#heardNow();
    const { rows, high, at_ms } = await this.#store.outbox.waiting();
    const rescued = await this.#store.entries.rescued().catch(() => null);
    const limits = { ...LIMITS, ...(await this.#store.meta.get("limits")) };
    const open = rows.filter(({ id }) => !put_by.has(id));
    const batch = fitting(open, { ...limits, entries: Math.min(this.#size, limits.entries) });
    // A rescue that does not answer may hold something: nothing is claimed then.
    const all = batch.length === rows.length && rescued?.length === 0;
    return { batch, high, at_ms, heard_ms, last: batch.length === open.length, claims: all };
  }

  async #once(picture, identity) {
    const { batch } = picture;
    const nonce = this.#nonce();
    await this.#store.outbox.offered(batch.map(({ id }) => id));
    const message = await this.#message(picture, nonce);
    const reply = await this.#api.post("sync/push/", message);
    if (!isOurs(reply, nonce)) return this.#failed(reply, batch);
    if (reply.body.log_identity !== identity) return { state: "other_log", last: reply.body };
    return this.#believe(reply, picture, message.sent_ms);
  }

  async #message({ batch, high, at_ms, heard_ms, claims, lost }, nonce) {
    const { offset_min, zone } = this.#clock.reading();
    return {
      protocol: PROTOCOL,
      build: this.#build,
      nonce,
      high,
      have_revision: await this.#store.record.revisionIds(),
      entries: batch.map(itemOf),
      claim: claims && heard_ms !== null ? { at_ms, heard_ms, offset_min, zone, high } : null,
      sent_ms: this.#clock.now(),
      lost,
      cleared_ms: await this.#store.meta.get("cleared_ms"),
    };
  }

  async #believe(reply, { batch, last, claims, heard_ms, at_ms }, sent_ms) {
    const { server_ms } = reply.body;
    const { now_ms, mono_ms } = this.#clock.reading();
    this.#heard = { server_ms, now_ms, mono_ms };
    const receipts = confirmedBy(reply, batch);
    await this.#store.outbox.confirm(receipts);
    await this.#store.meta.set({ limits: tighter(LIMITS, reply.body.limits) });
    this.#size = Math.min(this.#size * 2, LIMITS.entries);
    const named = new Set(receipts.map(({ id }) => id));
    const put_by = batch.map(({ id }) => id).filter((id) => !named.has(id));
    const claimed_ms = claims && heard_ms !== null && put_by.length === 0 ? at_ms : null;
    return { state: "more", put_by, done: last, last: { ...reply.body, claimed_ms, sent_ms, got_ms: now_ms } };
  }

  // Halving finds a single entry that no server will take; it is put by for
  // this round and its neighbours go on.
  #failed(reply, batch) {
    const { halve, ...rest } = verdict(reply);
    if (!halve || batch.length === 0) return rest;
    if (batch.length > 1) {
      this.#size = Math.max(1, Math.floor(batch.length / 2));
      return { state: "more", done: false };
    }
    return reply.kind === "timeout" ? rest : { state: "more", put_by: [batch[0].id], done: false };
  }
}
