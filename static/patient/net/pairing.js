// Pairing with the clinic: by a typed code or by a link, always by a tap.
import { localTime } from "../model/day.js";
import { verdict } from "./verdict.js";

// What a phone that was just paired does not know yet.
const UNKNOWN = Object.freeze({
  number: 0, log_identity: null, clock_mark: null, watermark: null, last_round_ms: null, trouble: null, logged_by: null, wiped: false,
  cleared_ms: null, lesson_on: null, left: false, release_key: null, release_tries: null, releases: null,
  push_on: null, push_told: null, push_asked_on: null, push_stopped: null,
});
const STANDS = ["waiting", "active"];
const REVOKED = { replaced: "revoked_replaced", stolen: "revoked_stolen" };
const JUST_PAIRED_S = 3_600;
const KNOWN = new Set(["pairing_code_invalid", "pairing_code_expired", "pairing_code_used", "too_many_tries"]);

// What the patient types, as the clinic spelled it: XXXXX-XXXXX.
export function groupedCode(text) {
  const letters = text.toUpperCase().replace(/[^A-Z0-9]/g, "").slice(0, 10);
  return letters.length > 5 ? `${letters.slice(0, 5)}-${letters.slice(5)}` : letters;
}

// "#pair=TOKEN" from a link or a QR code; null when there is none.
export function tokenIn(hash) {
  return /^#pair=([A-Za-z0-9_-]{8,200})$/.exec(hash)?.[1] ?? null;
}

function problemOf(reply) {
  if (reply.kind !== "reply") return "offline";
  if (reply.status === 429) return "too_many_tries";
  return KNOWN.has(reply.body?.code) ? reply.body.code : "no_sense";
}

// A gateway's 401 tells nothing about the pairing.
const refusal = (state) => (state === "no_sense" ? { known: false } : { known: true, state });

export class Pairing {
  #api;
  #store;
  #clock;

  constructor({ api, store, clock }) {
    this.#api = api;
    this.#store = store;
    this.#clock = clock;
  }

  // {paired: true, state} or {paired: false, problem}. What has not reached
  // the clinic must be exported first: the next pairing may be another person's.
  async redeem(code, phoneLabel, { exported = false } = {}) {
    if (!exported && (await this.#store.outbox.count()) > 0) {
      return { paired: false, problem: "unsent_entries" };
    }
    const reply = await this.#api.post("pairing/", { code, phone_label: phoneLabel });
    const { phone_id, state } = reply.body ?? {};
    if (reply.status !== 201 || !phone_id) return { paired: false, problem: problemOf(reply) };
    await this.#adopt(phone_id, state);
    return { paired: true, state };
  }

  // Its owner leaves this phone. False while something has not reached the
  // clinic and was not copied. Offline the credential stays, but is not used.
  async leave({ exported = false } = {}) {
    const { outbox, entries, record, drafts, photos, meta } = this.#store;
    const matched = () => this.#store.matchCopies().catch(() => {});
    const unsent = (await outbox.count()) + (await entries.rescued()).length;
    if (unsent > 0 && !exported) return false;
    await this.#api.remove("pairing/");
    // First the copies of what the clinic has: they would put it back.
    await matched();
    await Promise.all([record.clear(), drafts.clear(), outbox.dropArrived(), photos.clear().catch(() => {})]);
    await meta.set({ ...UNKNOWN, phone_id: null, pairing: null, initials: null, earlier_mine: null, left: true });
    await matched();
    return true;
  }

  // Where this phone stands with the clinic; {known: false} when it cannot tell.
  // `quietly` where no credential is the rule and not a refusal.
  async ask({ quietly = false } = {}) {
    const reply = await this.#api.get(quietly ? "pairing/?quietly=1" : "pairing/");
    const { body } = reply;
    if (reply.status === 401) return refusal(verdict(reply).state);
    if (reply.status !== 200 || !body?.phone_id) return { known: false };
    await this.#adopt(body.phone_id, body.state, body);
    await this.#store.meta.set({ initials: body.patient?.initials ?? "" });
    // Revoked by an older clinic that does not tell why: as good as unknown.
    const state = STANDS.includes(body.state) ? body.state : REVOKED[body.revoked] ?? "not_paired";
    return { known: true, state, log_identity: body.log_identity };
  }

  // Another phone id counts from 1 again and knows no log yet; the same id goes
  // on where it was. A phone that the clinic has heard, or paired long ago, and
  // that knows nothing of it was cleared: it counts on from there, and tells.
  async #adopt(phone_id, state, { high = 0, age_s = 0 } = {}) {
    const known = await this.#store.meta.get("phone_id");
    if (known === phone_id) return this.#store.meta.set({ pairing: state });
    // After a leave too: a round that was still on its way may have come late.
    if (known || (await this.#store.meta.get("left"))) await Promise.all([this.#store.record.clear(), this.#store.drafts.clear()]);
    // Where it cannot be now, the next round does it (photo-sender.js).
    await this.#store.photos.clearOthers(phone_id).catch(() => {});
    const { now_ms, offset_min } = this.#clock.reading();
    const cleared = high > 0 || age_s > JUST_PAIRED_S ? { number: high, wiped: true, cleared_ms: now_ms } : {};
    return this.#store.meta.set({ ...UNKNOWN, ...cleared, phone_id, pairing: state, paired_at: localTime(now_ms, offset_min) });
  }
}
