// Virtual time. Everything that a browser would run "later" is a task here, so
// a world runs in the same order each time and a day takes no time at all.

const realImmediate = globalThis.setImmediate;
// All that the task just run has promised is done before the next one begins.
const drained = () => new Promise((resolve) => { realImmediate(resolve); });

const before = (a, b) => a.due < b.due || (a.due === b.due && a.order < b.order);

class Heap {
  #items = [];

  get first() {
    return this.#items[0];
  }

  push(item) {
    const items = this.#items;
    let at = items.push(item) - 1;
    while (at > 0) {
      const parent = (at - 1) >> 1;
      if (before(items[parent], items[at])) break;
      [items[parent], items[at]] = [items[at], items[parent]];
      at = parent;
    }
  }

  pop() {
    const items = this.#items;
    const first = items[0];
    const last = items.pop();
    if (items.length) {
      items[0] = last;
      this.#sink();
    }
    return first;
  }

  #sink() {
    const items = this.#items;
    for (let at = 0; ;) {
      let least = at;
      for (const child of [2 * at + 1, 2 * at + 2]) {
        if (child < items.length && before(items[child], items[least])) least = child;
      }
      if (least === at) return;
      [items[least], items[at]] = [items[at], items[least]];
      at = least;
    }
  }
}

export class Loop {
  now = 0;
  owner = null; // the tab on whose behalf the running task runs
  #heap = new Heap();
  #order = 0;
  #storage = 0; // storage tasks that wait

  constructor() {
    // fake-indexeddb asks for its turns here.
    globalThis.setImmediate = (act) => this.storage(act);
  }

  clear() {
    this.#heap = new Heap();
    this.#storage = 0;
    this.owner = null;
  }

  queue(act, { after = 0, owner = this.owner, kind = "page" } = {}) {
    const task = { act, owner, kind, due: this.now + Math.max(0, after), order: (this.#order += 1) };
    if (kind === "storage") this.#storage += 1;
    this.#heap.push(task);
    return task;
  }

  // A storage step takes as long as this phone's storage is slow.
  storage(act, after = this.owner?.phone.step_ms ?? 1) {
    return this.queue(act, { after, kind: "storage" });
  }

  cancel(task) {
    if (task) task.act = null;
  }

  // Until that moment, and on until no transaction stands half done.
  async run(until) {
    for (;;) {
      const next = this.#heap.first;
      if (!next || (next.due > until && !this.#unsettled(next))) break;
      this.#heap.pop();
      if (next.kind === "storage") this.#storage -= 1;
      if (!next.act || next.owner?.dead) continue;
      this.now = Math.max(this.now, next.due);
      if (next.kind === "page" && next.owner?.frozen) {
        next.owner.frozen.push(next.act);
        continue;
      }
      await this.#turn(next);
    }
    this.now = Math.max(this.now, until);
  }

  #unsettled(next) {
    return this.#storage > 0 && next.due - this.now < 20;
  }

  async #turn({ act, owner }) {
    this.owner = owner;
    owner?.phone.turned();
    act();
    await drained();
    this.owner = null;
  }
}
