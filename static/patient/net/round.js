// One round: push, then pull, then the watermark. It may be cut anywhere and
// repeated from its start.
import { narrowest } from "../model/clock.js";
import { localTime } from "../model/day.js";

export class Round {
  #store;
  #push;
  #pull;
  #pairing;
  #clock;

  constructor({ store, push, pull, pairing, clock }) {
    this.#store = store;
    this.#push = push;
    this.#pull = pull;
    this.#pairing = pairing;
    this.#clock = clock;
  }

  // {state: "settled"} or the state that ended the round early.
  async run() {
    if (!(await this.#store.meta.get("phone_id"))) return { state: "unpaired" };
    await this.#store.entries.mergeRescued().catch(() => 0);
    const known = await this.#store.meta.get("log_identity");
    const met = known ? { identity: known } : await this.#meet();
    if (!met.identity) return this.#note(met);
    const pushed = await this.#pushAll(met.identity);
    if (pushed.state !== "sent" && pushed.state !== "stuck") return this.#note(pushed);
    const pulled = pushed.anew ? await this.#pull.anew() : await this.#pullAll();
    if (pulled.state !== "pulled") return this.#note(pulled);
    return this.#settle(pushed);
  }

  // First contact, or a log that is not the one we knew: fetch it whole, and
  // offer it everything this phone still has. {identity} or {state}.
  async #meet(known = null) {
    const asked = await this.#pairing.ask();
    if (!asked.known) return { state: "offline" };
    // A replaced phone hears nothing more, but what it still has goes into custody.
    const onlyGives = asked.state === "revoked_replaced";
    if (asked.state !== "active" && !onlyGives) return { state: asked.state };
    // A receipt of another log while the clinic still has the one we know: not its receipt.
    if (known && asked.log_identity === known) return { state: "no_sense" };
    const pulled = onlyGives ? { ...asked, state: "pulled" } : await this.#pull.anew();
    if (pulled.state !== "pulled") return pulled;
    if (pulled.log_identity !== asked.log_identity) return { state: "no_sense" };
    const { phone_id: own, earlier_mine } = await this.#store.meta.all();
    // Those of an earlier pairing too, where their owner said they are theirs.
    await this.#store.outbox.offerAgain(({ phone_id }) => phone_id === own || earlier_mine === own);
    // A lift that this log does not hold is none, whatever code was typed; its key may be another too.
    await this.#store.meta.set({ log_identity: asked.log_identity, releases: null, release_key: null });
    return { identity: asked.log_identity };
  }

  async #pushAll(known) {
    let pushed = await this.#push.run(known);
    if (pushed.state === "other_log") {
      const met = await this.#meet(known);
      if (!met.identity) return met;
      pushed = await this.#push.run(met.identity);
    }
    const { offered, lost } = await this.#missing(pushed.last);
    if (offered + lost.length === 0) return pushed;
    const again = await this.#push.run(await this.#store.meta.get("log_identity"), lost);
    // A log that lost rows may count its versions anew below our cursor: hear all of it.
    return { ...again, anew: offered > 0 };
  }

  // The clinic's numbers went backwards, or show holes: what is here of them is
  // offered again, what is not will never come. And a phone that was cleared
  // takes up counting where it was.
  async #missing({ high, gaps = [], log_identity } = {}) {
    const meta = await this.#store.meta.all();
    const own = meta.number ?? 0;
    const ours = log_identity === meta.log_identity && Number.isInteger(high);
    if (!ours || (high === own && !gaps.length)) return { offered: 0, lost: [] };
    if (high > own) await this.#store.meta.set({ number: high, wiped: true, cleared_ms: this.#clock.now() });
    return this.#store.outbox.missing({ phone_id: meta.phone_id, high, gaps });
  }

  // A revision counts from the day after the clinic heard that we have it, so
  // news of one is told in the same round.
  async #pullAll() {
    const before = new Set(await this.#store.record.revisionIds());
    const pulled = await this.#pullOnce();
    if (pulled.state !== "pulled") return pulled;
    const fresh = (await this.#store.record.revisionIds()).some((id) => !before.has(id));
    if (!fresh) return pulled;
    const again = await this.#push.run(await this.#store.meta.get("log_identity"));
    return ["sent", "stuck"].includes(again.state) ? this.#pullOnce() : again;
  }

  async #pullOnce() {
    return this.#pull.run(await this.#store.meta.get("log_identity"));
  }

  async #settle(pushed) {
    const { server_ms, high, claimed_ms, retry_after_s } = pushed.last;
    const { intervals, off_ms } = narrowest((await this.#store.meta.get("clock_intervals")) ?? [], pushed.last);
    const { offset_min } = this.#clock.reading();
    const now = this.#clock.now();
    const mark = claimed_ms ? { watermark: localTime(claimed_ms, offset_min) } : {};
    await this.#store.meta.set({
      ...mark, last_round_ms: now, clock_off_ms: off_ms, clock_intervals: intervals, pairing: "active", trouble: null,
    });
    await this.#store.outbox.prune({ server_ms, high });
    await this.#store.matchCopies().catch(() => {});
    return { state: pushed.state === "stuck" ? "stuck" : "settled", retry_after_s };
  }

  async #note(ended) {
    const verdicts = ["not_paired", "revoked_stolen", "revoked_replaced", "too_old"];
    if (ended.state === "waiting") await this.#store.meta.set({ pairing: "waiting" });
    // In a stranger's hands: no picture of the skin stays on it.
    if (ended.state === "revoked_stolen") await this.#store.photos.clear().catch(() => {});
    if (verdicts.includes(ended.state)) await this.#store.meta.set({ trouble: ended.state });
    return ended;
  }
}
