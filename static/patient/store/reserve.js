// Room kept back for the last entries of a full phone, given up by a write
// that finds none (link.js). Being able to keep it shows that a phone keeps
// anything at all.
import { RESERVE } from "./plans.js";

const CHUNK = 65_536; // the most that a browser's chance gives at once
const CHUNKS = 4;

export class Reserve {
  #queue;
  #random;

  constructor({ queue, random }) {
    this.#queue = queue;
    this.#random = random;
  }

  #there() {
    return this.#queue.read(RESERVE.store, (store) => store.getKey(RESERVE.key));
  }

  // Chance cannot be compressed, so that it takes the room it is there for.
  async fill() {
    if (await this.#there()) return;
    const value = Array.from({ length: CHUNKS }, () => this.#random(CHUNK));
    await this.#queue.write([RESERVE.store], (stores, done) => {
      stores[RESERVE.store].put({ key: RESERVE.key, value });
      done();
    });
  }

  // Written, closed, opened and found again: null, or why this phone cannot be
  // the log.
  async problem() {
    try {
      await this.fill();
      await this.#queue.close();
      return (await this.#there()) ? null : "failed";
    } catch (error) {
      return error.code ?? "failed";
    }
  }
}
