// What the clinic told this phone: program, holds, lifts, texts, entries of
// other phones. Rows and cursor change in one transaction, so an interrupted
// pull goes on exactly where it stopped.

import { daysFrom } from "./db.js";

const ROWS = ["program", "hold", "lift", "entry", "entry_state", "strength_test"];

function entryRow({ entry, version }) {
  const { id, for_date } = JSON.parse(entry.body);
  return { ...entry, id, for_date, version };
}

function put(stores, change) {
  const { type } = change;
  if (type === "texts") return stores.single.put({ key: "texts", value: change.texts });
  if (type === "entry_state") return stores.entry_state.put(change);
  if (type === "entry") return stores.entry.put(entryRow(change));
  // An unknown kind of change is for a newer app: left out, never an error.
  return ROWS.includes(type) ? stores[type].put(change[type]) : null;
}

export class RecordStore {
  #record;

  constructor(record) {
    this.#record = record;
  }

  // `fresh` replaces everything: the clinic's log has another identity.
  apply({ changes, cursor, fresh = false }) {
    return this.#record.write([...ROWS, "single"], (stores, done) => {
      if (fresh) for (const name of [...ROWS, "single"]) stores[name].clear();
      for (const change of changes) put(stores, change);
      stores.single.put({ key: "cursor", value: cursor });
      done();
    });
  }

  async cursor() {
    return (await this.#record.get("single", "cursor"))?.value ?? "";
  }

  async texts() {
    return (await this.#record.get("single", "texts"))?.value ?? null;
  }

  programs() {
    return this.#record.all("program");
  }

  async safety() {
    return { placed: await this.#record.all("hold"), lifts: await this.#record.all("lift") };
  }

  since(day, before) {
    return this.#record.read("entry", (store) => store.index("for_date").getAll(daysFrom(day, before)));
  }

  async hasEntry(id) {
    return Boolean(await this.#record.get("entry", id));
  }

  // Another patient's phone from now on: nothing of the former stays to be seen.
  clear() {
    return this.apply({ changes: [], cursor: "", fresh: true });
  }

  // Of notes: when the clinic read them.
  async readings() {
    const states = await this.#record.all("entry_state");
    return new Map(states.filter(({ read_at }) => read_at).map(({ id, read_at }) => [id, read_at]));
  }

  strengthTests() {
    return this.#record.all("strength_test");
  }

  async revisionIds() {
    const programs = await this.programs();
    return programs.flatMap(({ revisions }) => revisions.map(({ id }) => id));
  }
}
