// Goes into a page of the app. What runs here is the shipped code, out of the
// very file that the page runs; nothing is built anew.
globalThis.inside = {
  async shipped(name) {
    const app = await import(document.querySelector("script[type=module]").src);
    const found = app[`$${name.replaceAll(/\W/g, "_")}`];
    if (!found) throw new Error(`the app has no ${name}`);
    return found;
  },

  run: String(Math.random()),

  // What app.js gives its parts from outside.
  outside() {
    const reading = () => ({
      now_ms: Date.now(), mono_ms: performance.now(), run: this.run, offset_min: -new Date().getTimezoneOffset(),
      zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
    });
    const timer = { set: (act, ms) => setTimeout(act, ms), clear: clearTimeout.bind(globalThis), every: () => {} };
    return {
      timer, clock: { now: () => Date.now(), reading }, random: (count) => crypto.getRandomValues(new Uint8Array(count)),
      factory: indexedDB, second: async () => (await navigator.storageBuckets?.open("boutwise"))?.indexedDB ?? null,
      fetch: (...given) => fetch(...given), locks: navigator.locks ?? null, build: "test",
    };
  },

  async store() {
    const { openStore } = await this.shipped("store/open");
    return (this.opened ??= openStore(this.outside()));
  },

  // A second sync of the same phone, as another tab would run it.
  async engine() {
    const { makeEngine } = await this.shipped("net/engine");
    return (this.made ??= makeEngine({ ...this.outside(), store: await this.store() }));
  },

  async rows() {
    return (await (await this.store()).entries.all()).sort((a, b) => a.number - b.number);
  },

  // With the picture as letters, so that it can leave the page.
  async photos() {
    await this.store();
    const db = await new Promise((resolve) => { indexedDB.open("boutwise-photos").onsuccess = ({ target }) => resolve(target.result); });
    const asked = db.transaction("photos").objectStore("photos").getAll();
    await new Promise((resolve) => { asked.onsuccess = resolve; });
    db.close();
    const letters = (bytes) => btoa(Array.from(new Uint8Array(bytes), (byte) => String.fromCharCode(byte)).join(""));
    return asked.result.map((row) => ({ ...row, bytes: row.bytes && letters(row.bytes) }));
  },

  async meta() {
    return (await this.store()).meta.all();
  },

  async drafts() {
    return (await this.store()).drafts.keys();
  },

  // Saves as a screen does, with the real frame; gives the words that were shown.
  async saver({ sync = false } = {}) {
    const { saveEntry, placeOf } = await this.shipped("ui/saving");
    const { Frame } = await this.shipped("ui/frame");
    const store = await this.store();
    const engine = await this.engine();
    const frame = new Frame(document.getElementById("app"));
    const app = { ...this.outside(), store, frame, saved: () => { if (sync) engine.pacer.now({ reset: true }); } };
    const facts = { meta: await this.meta() };
    return async ({ id, kind, payload, draftKey, episode, revision, forDate }) => {
      const saved = await saveEntry(app, { id, kind, payload, draftKey, place: placeOf(facts, { episode, revision, forDate }) });
      return { saved, words: document.querySelector(".told").textContent };
    };
  },
};
