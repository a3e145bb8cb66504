// What can be done to a phone. An act that needs an open page and finds none
// does nothing.
import { createHash } from "node:crypto";

const sha = (text) => createHash("sha256").update(text).digest("hex");

const needsTab = (act) => Object.assign(act, { needsTab: true });

// What a form knows: read when it opens, and again with each that follows, but
// not waited for where the storage hangs by then.
async function known(tab, phone) {
  const hangs = ["boutwise-queue", "boutwise-record"].some((name) => phone.hangFor(name) > 0);
  if (!hangs) tab.known = await Promise.all([tab.store.meta.all(), tab.store.record.programs()]).catch(() => tab.known);
  return tab.known ?? [{}, []];
}

async function placeOf({ program, shift, place }, phone, tab, { day, plan }) {
  if (place) return place;
  const [meta, programs] = await known(tab, phone);
  if (!meta.phone_id) return null;
  const { now_ms, offset_min } = tab.clock.reading();
  const for_date = day.addDays(day.localDay(now_ms, offset_min), shift);
  const fixed = { phone_id: meta.phone_id, for_date, logged_by: { who: "patient" } };
  if (program === null) return { ...fixed, episode_id: null, revision_id: null };
  if (programs.length === 0) return null;
  const one = programs[program % programs.length];
  const revision = plan.effectiveRevision(one, for_date) ?? one.revisions.at(-1);
  return { ...fixed, episode_id: one.episode.id, revision_id: revision.id };
}

export function makeActs({ core }) {
  return {
    // As the app starts: ask who we are if the store does not know, then sync.
    async open({ tab: name }, phone) {
      const tab = phone.open(name);
      const [meta] = await known(tab, phone);
      if (!meta.phone_id) await tab.engine.pairing.ask().catch(() => null);
      tab.engine.pacer.now();
      tab.engine.pacer.watch(() => phone.waits());
      return {};
    },

    save: needsTab(async (act, phone, tab) => {
      const place = await placeOf(act, phone, tab, core);
      if (!place) return { nowhere: true };
      const id = act.entry ?? tab.store.entries.newId();
      const outcome = await tab.store.entries.save({ id, kind: act.kind, payload: act.payload, place, draftKey: act.draft ?? null });
      // As ui/saving.js: told first, then copied, then sent.
      if (outcome.saved) Promise.resolve(outcome.copy?.()).then(() => tab.engine.pacer.now());
      return { ...outcome, place, wall_ms: phone.wall };
    }),

    // An entry as another release of the app would have stored it.
    plant: needsTab(async ({ body, hash }, phone, tab) => {
      const meta = await tab.store.meta.all();
      if (!meta.phone_id) return { nowhere: true };
      const number = (meta.number ?? 0) + 1;
      const text = body.replaceAll("$NUMBER", String(number)).replaceAll("$PHONE", meta.phone_id);
      const id = tab.store.entries.newId();
      const row = {
        id, number, kind: "planted", for_date: "2030-03-05", episode_id: null, phone_id: meta.phone_id,
        body: text.replaceAll("$ID", id), state: "stored", saved_ms: phone.wall, offered_ms: null, receipt: null,
      };
      const request = phone.factory._databases.get("boutwise-queue");
      if (!request || phone.hangFor("boutwise-queue") > 0) return { nowhere: true };
      row.sha256 = hash ?? sha(row.body);
      return new Promise((resolve) => {
        const opened = phone.factory.open("boutwise-queue");
        opened.onerror = () => resolve({ nowhere: true });
        opened.onsuccess = () => {
          const db = opened.result;
          const tx = db.transaction(["entries", "meta"], "readwrite");
          tx.onabort = () => { db.close(); resolve({ nowhere: true }); };
          tx.oncomplete = () => { db.close(); resolve({ planted: true, id, number, body: row.body, sha256: row.sha256 }); };
          const asked = tx.objectStore("meta").get("number");
          asked.onsuccess = () => {
            if ((asked.result?.value ?? 0) !== number - 1) return tx.abort();
            tx.objectStore("entries").put(row);
            tx.objectStore("meta").put({ key: "number", value: number });
            return null;
          };
        };
      });
    }),

    round: needsTab(async (_, __, tab) => ({ round: (await tab.engine.round()).state })),

    sync: needsTab(async (_, __, tab) => { tab.engine.pacer.now({ reset: true }); }),

    redeem: needsTab(async ({ code, mine }, _, tab) => {
      const paired = await tab.engine.pairing.redeem(code, "phone", { exported: true });
      if (paired.paired && mine) {
        const meta = await tab.store.meta.all();
        await tab.store.meta.set({ earlier_mine: meta.phone_id });
      }
      tab.engine.pacer.now({ reset: true });
      return paired;
    }),

    kill: async (act, phone) => { phone.killAfter(act); },
    stop: async ({ how }, phone) => { phone.kill(how); },
    freeze: needsTab(async (_, __, tab) => { tab.freeze(); }),
    thaw: needsTab(async (_, __, tab) => { tab.thaw(); }),
    spoil: async ({ fault }, phone) => { phone.spoil(fault); },
    heal: async (_, phone) => { phone.heal(); },
    wipe: async (_, phone) => { phone.wipe(); },
    throw_away: async (_, phone) => { phone.throwAway(); },
    flip: async ({ nth }, phone) => ({ flipped: phone.flip(nth) }),
  };
}
