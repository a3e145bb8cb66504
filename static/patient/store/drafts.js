// Forms that are not yet saved. A draft is never sent; it goes in the same
// transaction that stores its entry.

const THROTTLE_MS = 300;

export class Drafts {
  #queue;
  #timer;
  #clock;
  #waiting = new Map();

  constructor({ queue, timer, clock }) {
    this.#queue = queue;
    this.#timer = timer;
    this.#clock = clock;
  }

  async get(key) {
    return (await this.#queue.get("drafts", key))?.value ?? null;
  }

  keys() {
    return this.#queue.read("drafts", (store) => store.getAllKeys());
  }

  put(key, value, how = {}) {
    this.#forget(key);
    const at_ms = this.#clock.now();
    return this.#queue.write(["drafts"], ({ drafts }, done) => {
      drafts.put({ key, value, at_ms });
      done();
    }, how);
  }

  // Keeps what is typed without a write for each key press.
  later(key, value) {
    this.#forget(key);
    const wait = this.#timer.set(() => { this.put(key, value).catch(() => {}); }, THROTTLE_MS);
    this.#waiting.set(key, { wait, value });
  }

  // The page is leaving: write now what is still waiting.
  flush() {
    const waiting = [...this.#waiting].map(([key, { value }]) => this.put(key, value));
    return Promise.allSettled(waiting);
  }

  // The entry is about to be saved. What still waits is written first, so that a
  // page that goes now leaves its form; the save removes the draft after it, and
  // flushes for both: to wait for the disk twice would only make it slower.
  settle(key) {
    const waiting = this.#waiting.get(key);
    return waiting ? this.put(key, waiting.value, { durability: "relaxed" }).catch(() => {}) : null;
  }

  drop(key) {
    this.#forget(key);
    return this.#queue.write(["drafts"], ({ drafts }, done) => {
      drafts.delete(key);
      done();
    });
  }

  clear() {
    return this.#queue.write(["drafts"], ({ drafts }, done) => {
      drafts.clear();
      done();
    });
  }

  #forget(key) {
    const waiting = this.#waiting.get(key);
    if (waiting) this.#timer.clear(waiting.wait);
    this.#waiting.delete(key);
  }
}
