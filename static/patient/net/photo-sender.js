// Sends the photos that wait, one after the other, and asks for the removal of
// those that were removed here. Each stays as it is until its own receipt came.
import { sha256OfBytes } from "../model/uuid.js";
import { RECEIPT_TYPE } from "./receipts.js";

const TYPE = "image/jpeg";
// No request of ours is still on its way to the clinic after this time.
const QUIET_MS = 120_000;
const REST_S = 300;
const REST_MOST_S = 3_600;
const ENOUGH = { goesOn: false };
const NEXT = { goesOn: true };

const REFUSED = {
  photos_off: "off", photo_too_large: "too_large", photo_unreadable: "unreadable", photo_too_many: "too_many", photo_id_taken: "failed",
};

// A gateway answers 200 to anything: only our own type, about this photo, counts.
const isReceipt = (reply, { id }) =>
  reply.kind === "reply" && reply.status === 200 && reply.type === RECEIPT_TYPE && reply.body?.id === id;

export class PhotoSender {
  #api;
  #store;
  #clock;
  #rest = { since: 0, ms: 0 };

  constructor({ api, store, clock }) {
    this.#api = api;
    this.#store = store;
    this.#clock = clock;
  }

  // What there is to do, removals first; nothing while the clinic asked for rest.
  async open() {
    const phone_id = await this.#store.meta.get("phone_id");
    await this.#store.photos.clearOthers(phone_id);
    if (!phone_id || this.#rests()) return [];
    const rows = await this.#store.photos.rows(phone_id);
    const removals = rows.filter((row) => row.state === "removing" && this.#isQuiet(row));
    return [...removals, ...rows.filter(({ state }) => state === "waiting")];
  }

  // `goes()` turns false when an entry wants the way. Told is whether any changed.
  async run(goes) {
    let changed = false;
    for (const row of await this.open()) {
      if (!goes() || (await this.#entriesWait())) break;
      const step = row.state === "removing" ? await this.#remove(row) : await this.#send(row);
      changed ||= Boolean(step.changed);
      if (!step.goesOn) break;
    }
    return changed;
  }

  // A clock that was set back lifts the rest, too.
  #rests() {
    const rested = this.#clock.now() - this.#rest.since;
    return rested >= 0 && rested < this.#rest.ms;
  }

  // One that was sent without an answer may still arrive: its removal comes after it.
  #isQuiet({ offered_ms }) {
    return Math.abs(this.#clock.now() - (offered_ms ?? 0)) > QUIET_MS;
  }

  async #entriesWait() {
    const [count, rescued] = await Promise.all([this.#store.outbox.count(), this.#store.entries.rescued()]);
    return count + rescued.length > 0;
  }

  async #send({ id, entry_id }) {
    const { photos, record } = this.#store;
    const texts = await record.texts();
    if (texts && texts.photos !== true) return { ...NEXT, changed: await photos.refuse(id, "off") };
    if (!(await this.#isConfirmed(entry_id))) return NEXT;
    const row = await photos.offer(id);
    if (!row) return NEXT;
    if ((await sha256OfBytes(row.bytes)) !== row.sha256) return { ...NEXT, changed: await photos.refuse(id, "failed") };
    const reply = await this.#api.put(`photos/${id}/?entry=${entry_id}&taken_ms=${row.taken_ms}`, row.bytes, TYPE);
    return this.#believe(reply, row);
  }

  async #believe(reply, row) {
    const { photos } = this.#store;
    const mine = isReceipt(reply, row) && reply.body.sha256 === row.sha256;
    if (mine && reply.body.state === "kept") return { ...NEXT, changed: await photos.sent(row.id) };
    if (mine && reply.body.state === "deleted") return { ...NEXT, changed: await photos.drop(row.id) };
    const reason = REFUSED[reply.body?.code];
    if (reason) return { ...NEXT, changed: await photos.refuse(row.id, reason) };
    return this.#failed(reply);
  }

  async #remove(row) {
    const reply = await this.#api.remove(`photos/${row.id}/`);
    if (!isReceipt(reply, row) || reply.body.state !== "deleted") return this.#failed(reply);
    return { ...NEXT, changed: await this.#store.photos.drop(row.id) };
  }

  // This phone's own, or one of another phone that was pulled.
  async #isConfirmed(entry_id) {
    const own = await this.#store.entries.get(entry_id);
    return own ? own.state === "confirmed" : this.#store.record.hasEntry(entry_id);
  }

  // Its entry may come with a later round. What else answers otherwise than it
  // should is left in peace for a while: a photo is a heavy thing to send in vain.
  #failed(reply) {
    if (reply.body?.code === "photo_entry_unknown") return NEXT;
    if (reply.kind === "reply") {
      this.#rest = { since: this.#clock.now(), ms: Math.min(reply.retry_after_s ?? REST_S, REST_MOST_S) * 1_000 };
    }
    return ENOUGH;
  }
}
