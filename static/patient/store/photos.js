// Photos of the skin that wait on this phone, or went from it. The picture goes
// with the clinic's receipt; its row stays, so that its owner can still have it
// removed at the clinic.
import { sha256OfBytes } from "../model/uuid.js";

export const MOST = Object.freeze({ waiting: 6, check: 3 });
const COUNTED = ["waiting", "sent"];

// Why one more is not kept, or null.
function refusal(others, entry_id) {
  if (others.filter(({ state }) => state === "waiting").length >= MOST.waiting) return "many";
  const beside = others.filter((row) => row.entry_id === entry_id && COUNTED.includes(row.state));
  return beside.length >= MOST.check ? "enough" : null;
}

export class Photos {
  #photos;
  #clock;

  constructor({ photos, clock }) {
    this.#photos = photos;
    this.#clock = clock;
  }

  // Null once it is kept, else why not: "many", "enough", "full" and the other
  // codes of a store. `id` is made once per picture: a second try is the same photo.
  async keep({ id, entry_id, phone_id, bytes }) {
    const sha256 = await sha256OfBytes(bytes);
    const row = { id, entry_id, phone_id, state: "waiting", reason: null, taken_ms: this.#clock.now(), offered_ms: null, bytes, sha256 };
    try {
      return await this.#photos.write(["photos"], ({ photos }, done) => {
        const asked = photos.getAll();
        asked.onsuccess = () => {
          if (asked.result.some((one) => one.id === id)) return done(null);
          const why = refusal(asked.result, entry_id);
          if (!why) photos.put(row);
          return done(why);
        };
      });
    } catch (error) {
      return error.code ?? "failed";
    }
  }

  // Those of one pairing without their pictures, oldest first.
  async rows(phone_id) {
    const all = await this.#photos.all("photos");
    return all.filter((row) => row.phone_id === phone_id)
      .map(({ bytes, ...row }) => row).sort((a, b) => a.taken_ms - b.taken_ms);
  }

  // `next(row)` gives the row as it is from now on, null to let it go, or
  // undefined to leave it; told is whether anything changed.
  #change(id, next) {
    return this.#photos.write(["photos"], ({ photos }, done) => {
      const asked = photos.get(id);
      asked.onsuccess = () => {
        const changed = asked.result ? next(asked.result) : undefined;
        if (changed === null) photos.delete(id);
        else if (changed) photos.put(changed);
        done(changed !== undefined);
      };
    });
  }

  // About to be sent: the row with its picture, or null when it was removed
  // meanwhile. From now on it may be at the clinic.
  async offer(id) {
    const offered_ms = this.#clock.now();
    const offered = await this.#change(id, (row) => (row.state === "waiting" ? { ...row, offered_ms } : undefined));
    return offered ? this.#photos.get("photos", id) : null;
  }

  sent(id) {
    return this.#change(id, (row) => (row.state === "waiting" ? { ...row, state: "sent", offered_ms: null, bytes: null } : undefined));
  }

  refuse(id, reason) {
    return this.#change(id, (row) => (row.state === "waiting" ? { ...row, state: "refused", reason, bytes: null } : undefined));
  }

  // The clinic has removed it: its row only says so.
  gone(id) {
    return this.#change(id, (row) => (row.state === "sent" ? { ...row, state: "gone" } : undefined));
  }

  // Its owner wants it gone. What may be at the clinic stays as a wish to have it
  // removed there; of the picture nothing stays here.
  remove(id) {
    return this.#change(id, (row) => {
      const atClinic = !["refused", "gone"].includes(row.state) && (row.state !== "waiting" || row.offered_ms !== null);
      return atClinic ? { ...row, state: "removing", bytes: null } : null;
    });
  }

  drop(id) {
    return this.#change(id, () => null);
  }

  clear() {
    return this.#photos.write(["photos"], ({ photos }, done) => {
      photos.clear();
      done();
    });
  }

  // What an earlier pairing left because it could not be cleared then.
  async clearOthers(phone_id) {
    const all = await this.#photos.all("photos");
    for (const row of all) if (row.phone_id !== phone_id) await this.drop(row.id);
  }
}
