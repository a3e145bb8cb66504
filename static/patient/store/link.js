// A database that is opened when needed and opened anew once it was closed
// under us (sleep, another tab's upgrade, a lost database process).
import { open, read, transact } from "./db.js";

export class Link {
  #factory;
  #timer;
  #plan;
  #opening = null;

  constructor({ factory, timer, plan }) {
    this.#factory = factory;
    this.#timer = timer;
    this.#plan = { ...plan, onGone: () => { this.#opening = null; } };
  }

  #db() {
    this.#opening ??= open(this.#factory, this.#timer, this.#plan).catch((error) => {
      this.#opening = null;
      throw error;
    });
    return this.#opening;
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

  #change(names, work) {
    return this.#again((db) => transact(db, this.#timer, names, "readwrite", work));
  }

  // A full phone: the reserve is given up, then the write is tried once more.
  // In one transaction the room would not count yet when the write needs it.
  async write(names, work) {
    try {
      return await this.#change(names, work);
    } catch (error) {
      const { reserve } = this.#plan;
      if (error.code !== "full" || !reserve) throw error;
      await this.#change([reserve.store], (stores, done) => {
        stores[reserve.store].delete(reserve.key);
        done();
      });
      return this.#change(names, work);
    }
  }

  // A picture of several stores at one moment, without a writer's lock.
  look(names, work) {
    return this.#again((db) => transact(db, this.#timer, names, "readonly", work));
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
