// Small facts of this phone, kept beside the queue: its id, the highest number
// it used, the log identity it knows, when it last heard from the clinic.

export class Meta {
  #queue;
  known = null; // as it was last read: another tab may have written since

  constructor(queue) {
    this.#queue = queue;
  }

  async get(key, otherwise = null) {
    return (await this.#queue.get("meta", key))?.value ?? otherwise;
  }

  // As they lie there.
  rows() {
    return this.#queue.all("meta");
  }

  async all() {
    return this.learn(await this.rows());
  }

  learn(rows) {
    return this.known = Object.fromEntries(rows.map(({ key, value }) => [key, value]));
  }

  set(values) {
    return this.#queue.write(["meta"], ({ meta }, done) => {
      for (const [key, value] of Object.entries(values)) meta.put({ key, value });
      done();
    });
  }

  // For counters and leases: reads and writes in one transaction.
  change(key, next) {
    return this.#queue.write(["meta"], ({ meta }, done) => {
      const asked = meta.get(key);
      asked.onsuccess = () => {
        const value = next(asked.result?.value ?? null);
        if (value !== undefined) meta.put({ key, value });
        done(value);
      };
    });
  }
}
