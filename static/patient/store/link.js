// A database that is opened when needed and opened anew once it was closed
// under us (sleep, another tab's upgrade, a lost database process).
import { ASK, open, read, transact, withDeadline } from "./db.js";

const SEED_MS = 2_000;

export class Link {
  #factory;
  #timer;
  #plan;
  #seed;
  #opening = null;

  // `seed()` gives what a database that is not there begins with, or null.
  constructor({ factory, timer, plan, seed = null }) {
    this.#factory = factory;
    this.#timer = timer;
    this.#seed = seed;
    this.#plan = { ...plan, onGone: () => { this.#opening = null; } };
  }

  #db() {
    this.#opening ??= this.#open().catch((error) => {
      this.#opening = null;
      throw error;
    });
    return this.#opening;
  }

  // Whether a database is there shows only when it is opened: the browser may
  // throw it away at that moment.
  async #open() {
    const begin = (seed) => open(this.#factory, this.#timer, { ...this.#plan, seed });
    if (!this.#seed) return begin();
    try {
      return await begin(ASK);
    } catch (error) {
      if (error.code !== "absent") throw error;
      return begin(await this.#asked());
    }
  }

  #asked() {
    return withDeadline(this.#timer, SEED_MS, (resolve, reject) => { this.#seed().then(resolve, reject); }).catch(() => null);
  }

  async #again(act) {
    try {
      return await act(await this.#db());
    } catch (error) {
      if (error.code !== "closed") throw error;
      await this.close();
      return act(await this.#db());
    }
  }

  #change(names, work, durability = this.#plan.durability) {
    return this.#again((db) => transact(db, this.#timer, names, { mode: "readwrite", durability }, work));
  }

  // A full phone: the reserve is given up, then the write is tried once more.
  // In one transaction the room would not count yet when the write needs it.
  async write(names, work, { durability } = {}) {
    try {
      return await this.#change(names, work, durability);
    } catch (error) {
      const { reserve } = this.#plan;
      if (error.code !== "full" || !reserve) throw error;
      await this.#change([reserve.store], (stores, done) => {
        stores[reserve.store].delete(reserve.key);
        done();
      });
      return this.#change(names, work, durability);
    }
  }

  // A picture of several stores at one moment, without a writer's lock.
  look(names, work) {
    return this.#again((db) => transact(db, this.#timer, names, { mode: "readonly" }, work));
  }

  read(name, ask) {
    return this.#again((db) => read(db, this.#timer, name, ask));
  }

  all(name) {
    return this.read(name, (store) => store.getAll());
  }

  get(name, key) {
    return this.read(name, (store) => store.get(key));
  }

  async close() {
    const opening = this.#opening;
    this.#opening = null;
    (await opening?.catch(() => null))?.close();
  }
}
