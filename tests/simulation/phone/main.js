// The phones of one world, driven line by line from the other end of a pipe.
import { createHash } from "node:crypto";
import FDBKeyRange from "../../js/node_modules/fake-indexeddb/build/esm/FDBKeyRange.js";
import FDBObjectStore from "../../js/node_modules/fake-indexeddb/build/esm/FDBObjectStore.js";
import { Loop } from "./loop.js";
import { makeActs } from "./acts.js";
import { Phone } from "./phone.js";
import { useLoop } from "./storage.js";
import { ask, readLine, writeLine } from "./wire.js";

const loop = new Loop();
useLoop(loop);
globalThis.IDBKeyRange = FDBKeyRange;

// The thread pool of WebCrypto answers when it likes; this one in its turn.
const digest = (_, bytes) => {
  const hash = createHash("sha256").update(bytes).digest();
  return Promise.resolve(hash.buffer.slice(hash.byteOffset, hash.byteOffset + hash.length));
};
Object.defineProperty(globalThis, "crypto", { value: { subtle: { digest } } });

// Marks the write of a new entry, so that a page that leaves shows what it lost.
const put = FDBObjectStore.prototype.put;
FDBObjectStore.prototype.put = function marked(value, ...rest) {
  const request = put.call(this, value, ...rest);
  if (this.name === "entries" && value.state === "stored" && !value.offered_ms && !value.receipt) {
    this.transaction.saves = true;
    loop.owner?.phone.wrote("save");
  }
  return request;
};

// A browser only writes to its console what nobody caught.
process.on("unhandledRejection", () => {});

const from = (path) => import(new URL(path, process.env.SIM_CORE));
const [{ openStore }, { makeEngine }, day, plan] = await Promise.all(
  ["store/open.js", "net/engine.js", "model/day.js", "model/plan.js"].map(from));
const core = { openStore, makeEngine, day, plan };

let phones = new Map();
let events = [];
const report = (event) => events.push(event);
const acts = makeActs({ loop, core });

function begin({ seed, names, now_ms, second }) {
  loop.clear();
  loop.now = now_ms;
  phones = new Map(names.map((name, at) => [name, new Phone({ name, seed: seed * 8 + at, core, loop, ask, report, second })]));
  return {};
}

// Starts each act at its moment and tells how those ended that did end; one
// that ends later is told with a later command.
function launch(act) {
  const phone = phones.get(act.phone);
  loop.queue(async () => {
    const tab = phone.tabs.get(act.tab);
    if (acts[act.do].needsTab && !tab) return report({ act: act.id, result: { no_tab: true } });
    loop.owner = tab ?? null;
    try {
      const result = await acts[act.do](act, phone, tab);
      report({ act: act.id, result: result ?? {}, at_ms: loop.now });
    } catch (error) {
      report({ act: act.id, result: { failed: error.code ?? String(error.stack) }, at_ms: loop.now });
    }
    return null;
  }, { after: act.after_ms ?? 0, owner: null });
}

async function run({ settings = {}, acts: list = [], for_ms, look = false }) {
  for (const [name, setting] of Object.entries(settings)) Object.assign(phones.get(name).setting, setting);
  list.forEach(launch);
  await loop.run(loop.now + for_ms);
  const told = events;
  events = [];
  const seen = Object.fromEntries([...phones].map(([name, phone]) => [name, phone.look(look)]));
  return { now_ms: loop.now, events: told, phones: seen };
}

for (let command = readLine(); command; command = readLine()) {
  writeLine(command.begin ? begin(command.begin) : await run(command.run));
}
