// The entries of this phone: saved, offered, confirmed or held; never edited
// and never taken out to be sent.
import { clockChanged, entryFields, freeze } from "../model/entry.js";
import { holdOf } from "../model/hold.js";
import { idOfAnother, sha256, uuidv7 } from "../model/uuid.js";
import { daysFrom, withDeadline } from "./db.js";

const TRIES = 8;
const COPY_MS = 500;
const SILENCE_MS = 60_000;

function row({ fields, number, body, sha, savedMs }) {
  const { id, kind, for_date, episode_id, phone_id } = fields;
  return {
    id, number, kind, for_date, episode_id, phone_id, body, sha256: sha,
    state: "stored", saved_ms: savedMs, offered_ms: null, receipt: null,
    ...(holdOf(fields) ? { holding: 1 } : {}),
  };
}

// A second try of one answer, or another answer from the same form.
function saysTheSame({ body }, { payload }) {
  try {
    return JSON.stringify(JSON.parse(body).payload) === JSON.stringify(payload);
  } catch {
    return false; // damaged: what is said now is kept beside it
  }
}

export class Entries {
  #queue;
  #rescue;
  #copies;
  #meta;
  #timer;
  #clock;
  #random;
  #silentUntil = -Infinity;

  constructor({ queue, rescue, copies, meta, timer, clock, random }) {
    this.#queue = queue;
    this.#rescue = rescue;
    this.#copies = copies;
    this.#meta = meta;
    this.#timer = timer;
    this.#clock = clock;
    this.#random = random;
  }

  // Resolves to {saved, where, fields, copy} and never throws: a form needs an
  // answer. `id` is made once per form, so a second try is the same entry. A form
  // that came back after a kill and now says otherwise makes an entry of its own:
  // `fields.id` tells which. `copy()`, where it is, comes before the next write.
  async save({ draftKey = null, ...entry }) {
    const reading = { ...this.#clock.reading(), clock_changed: false };
    const rescue = (cause) => this.#toRescue({ fields: entryFields({ ...entry, reading }), reading, draftKey }, cause);
    // A queue that just gave no answer is not waited for again at each save.
    const kept = reading.mono_ms < this.#silentUntil ? await rescue({}) : null;
    if (kept?.saved) return kept;
    try {
      const known = this.#meta.known ?? (await this.#meta.all());
      reading.clock_changed = clockChanged(known.clock_mark ?? null, reading);
      const made = await this.#store(entryFields({ ...entry, reading }), reading, draftKey, known);
      return { saved: true, where: "queue", ...made };
    } catch (error) {
      if (error.code === "no_answer") this.#silentUntil = reading.mono_ms + SILENCE_MS;
      return rescue(error);
    }
  }

  newId() {
    return uuidv7(this.#clock.now(), this.#random(10));
  }

  // The hash needs the number and cannot be made inside a transaction. So the
  // entry is hashed with the next of the last known one, and written only if that
  // is still free; another save since makes us try again.
  async #store(given, reading, draftKey, lastKnown) {
    let [fields, known] = [given, lastKnown];
    for (let tries = 0; tries < TRIES; tries += 1) {
      const number = (known.number ?? 0) + 1;
      const body = freeze(fields, number);
      const made = row({ fields, number, body, sha: await sha256(body), savedMs: reading.now_ms });
      const { kept, meta, another } = await this.#put(made, fields, { reading, draftKey });
      known = this.#meta.learn(meta);
      if (kept) return { fields, copy: () => this.#copy(kept, meta) };
      if (another) fields = { ...fields, id: await idOfAnother(given.id, fields.payload) };
    }
    throw new Error("the number never was free");
  }

  // Short, and never in the way: what it misses is made up for (copies.js, match).
  async #copy(kept, meta) {
    if (!this.#copies) return;
    await withDeadline(this.#timer, COPY_MS, (resolve, reject) => {
      this.#copies.keep([kept], meta).then(resolve, reject);
    }).catch(() => { this.#copies = null; });
  }

  // {meta}, the small facts as they now are, with the row {kept}, or {another} answer
  // found under its id, or neither: the number was taken meanwhile.
  #put(made, fields, { reading, draftKey }) {
    return this.#queue.write(["entries", "drafts", "meta"], ({ entries, drafts, meta }, done) => {
      const facts = meta.getAll();
      const known = entries.get(made.id);
      known.onsuccess = () => {
        if (known.result && !saysTheSame(known.result, fields)) return done({ another: true, meta: facts.result });
        // A save whose answer came too late is already here: nothing to do.
        if (known.result) return done({ kept: known.result, meta: facts.result });
        const taken = facts.result.find(({ key }) => key === "number")?.value ?? 0;
        if (taken !== made.number - 1) return done({ meta: facts.result });
        const news = [{ key: "number", value: made.number }, { key: "clock_mark", value: reading }];
        entries.put(made);
        news.forEach((fact) => meta.put(fact));
        if (draftKey) drafts.delete(draftKey);
        return done({ kept: made, meta: [...facts.result, ...news] });
      };
    });
  }

  // The queue does not answer: keep the entry, unnumbered, in a second place.
  async #toRescue({ fields, reading, draftKey }, cause) {
    try {
      const other = { ...fields, id: await idOfAnother(fields.id, fields.payload) };
      const kept = await this.#rescue.write(["entries"], ({ entries }, done) => {
        const known = entries.get(fields.id);
        known.onsuccess = () => {
          const first = !known.result || saysTheSame({ body: JSON.stringify(known.result.fields) }, fields);
          const mine = first ? fields : other;
          entries.put({ id: mine.id, fields: mine, reading, draftKey });
          done(mine);
        };
      });
      return { saved: true, where: "rescue", fields: kept };
    } catch {
      return { saved: false, code: cause.code ?? "failed", fields };
    }
  }

  // Numbers what the rescue holds, oldest first; the id tells what is here.
  async mergeRescued() {
    const rows = await this.#rescue.all("entries");
    rows.sort((a, b) => a.reading.now_ms - b.reading.now_ms);
    for (const { id, fields, reading, draftKey } of rows) {
      const { copy } = await this.#store(fields, reading, draftKey, await this.#meta.all());
      await copy();
      await this.#rescue.write(["entries"], ({ entries }, done) => {
        entries.delete(id);
        done();
      });
    }
    return rows.length;
  }

  rescued() {
    return this.#rescue.all("entries");
  }

  all() {
    return this.#queue.all("entries");
  }

  get(id) {
    return this.#queue.get("entries", id);
  }

  // Read anew and hashed anew: false when the phone did not keep what it was given.
  async isSound(id) {
    const row = await this.get(id);
    return Boolean(row) && (await sha256(row.body)) === row.sha256;
  }

  // Those that ever raised a hold, however old; the lifts tell which still do.
  holding() {
    return this.#queue.read("entries", (store) => store.index("holding").getAll(1));
  }

  since(day, before) {
    return this.#queue.read("entries", (store) => store.index("for_date").getAll(daysFrom(day, before)));
  }
}
