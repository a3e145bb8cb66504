// N entries from the patient's app, as it ships, to a clinic's server, as it ships.
import "fake-indexeddb/auto";
import { makeEngine } from "../../../static/patient/net/engine.js";
import { openStore } from "../../../static/patient/store/open.js";
import { LINKS, payload, report } from "./entries.mjs";
import { openLink } from "./link.mjs";

const [, , link, count, url, told_by_clinic] = process.argv;
const { phone_id, token, episode_id, revision_id, for_date } = JSON.parse(told_by_clinic);
const { url: near, told, close } = await openLink(url, LINKS[link]);
const clock = {
  now: () => Date.now(),
  reading: () => ({ now_ms: Date.now(), mono_ms: performance.now(), run: "one", offset_min: 0, zone: "UTC" }),
};
// The storage here is written in JavaScript and far slower than a browser's: ten times its deadlines.
const timer = { set: (act, ms) => setTimeout(act, 10 * ms), clear: clearTimeout, every: () => null };
const random = (size) => crypto.getRandomValues(new Uint8Array(size));
const store = openStore({ factory: indexedDB, timer, clock, random });
const withCookie = (address, options) => fetch(near + address, { ...options, headers: { ...options.headers, Cookie: `phone=${token}` } });
const engine = makeEngine({ store, fetch: withCookie, timer, clock, random, locks: null, build: "bench" });

await store.meta.set({ phone_id, pairing: "active" });
const place = { phone_id, episode_id, revision_id, for_date, logged_by: { who: "patient" } };
for (let at = 0; at < Number(count); at += 1) {
  const saved = await store.entries.save({ id: store.entries.newId(), kind: "bout", payload: payload(at), place });
  if (saved.where !== "queue") throw new Error("not saved");
}

const began = performance.now();
while ((await engine.round()).state !== "settled");
report("ours", link, Number(count), began, { ...told });
if (await store.outbox.count()) throw new Error("something waits");
close();
process.exit(0);
