// Small facts of this phone, kept beside the queue: its id, the highest number
// it used, the log identity it knows, when it last heard from the clinic.

export class Meta {
  #queue;

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
    const rows = await this.rows();
    return Object.fromEntries(rows.map(({ key, value }) => [key, value]));
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
