// A second copy of every entry that the clinic has not confirmed, in a bucket
// of its own. Chromium may throw a whole database away: killed in the middle of
// a write, its log gets a torn record, the next start writes on behind it, and
// the start after that takes the log for corrupt and begins with nothing.
// Never both at once: a copy is written when the entry itself is stored.
import { Link } from "./link.js";
import { COPIES } from "./plans.js";

const UNSENT = ["stored", "offered"];

export class Copies {
  #second;
  #timer;
  #opening = null;

  // `second` gives another database factory, or null where a browser has none.
  constructor({ second, timer }) {
    this.#second = second;
    this.#timer = timer;
  }

  #link() {
    this.#opening ??= (async () => {
      const factory = await this.#second();
      return factory ? new Link({ factory, timer: this.#timer, plan: COPIES }) : null;
    })().catch(() => null);
    return this.#opening;
  }

  // A kindness: the entry is stored, whatever becomes of its copy.
  async keep(rows, meta) {
    const link = await this.#link();
    await link?.write(["entries", "meta"], (stores, done) => {
      rows.forEach((row) => stores.entries.put(row));
      meta.forEach((fact) => stores.meta.put(fact));
      done();
    });
  }

  // What a queue that is not there begins with: {entries, meta} or null.
  async seed() {
    const link = await this.#link();
    if (!link) return null;
    const [entries, meta] = await Promise.all([link.all("entries"), link.all("meta")]);
    if (!meta.length) return null;
    const times = meta.find(({ key }) => key === "restored")?.value ?? 0;
    return { entries, meta: [...meta, { key: "restored", value: times + 1 }] };
  }

  // What waits in the queue has a copy, and nothing else has. A copy of what the
  // queue never heard of goes back into it.
  async match(queue) {
    const link = await this.#link();
    if (!link) return;
    const kept = await link.all("entries");
    const { rows, meta } = await queue.write(["entries", "meta"], (stores, done) => takeBack(stores, kept, done));
    const [copied, waiting] = [kept, rows].map((all) => new Set(all.map(({ id }) => id)));
    await this.keep(rows.filter(({ id }) => !copied.has(id)), meta);
    await link.write(["entries"], ({ entries }, done) => {
      for (const id of copied) if (!waiting.has(id)) entries.delete(id);
      done();
    });
  }

  async close() {
    await (await this.#opening)?.close();
  }
}

// Puts back what is not there, then gives what waits.
function takeBack({ entries, meta }, kept, done) {
  const there = kept.map(({ id }) => entries.getKey(id));
  const counted = meta.get("number");
  const facts = meta.getAll();
  facts.onsuccess = () => {
    const back = kept.filter((row, at) => there[at].result === undefined);
    back.forEach((row) => entries.put(row));
    const number = Math.max(counted.result?.value ?? 0, ...back.map((row) => row.number));
    if (back.length) meta.put({ key: "number", value: number });
    const asked = UNSENT.map((state) => entries.index("state").getAll(state));
    asked.at(-1).onsuccess = () => done({ rows: asked.flatMap(({ result }) => result), meta: facts.result });
  };
}
