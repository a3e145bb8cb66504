// The rescue page's script. It stands alone: no import, so that a broken app
// cannot break it too. It only reads the queue, and marks what a receipt named.

const NAMES = ["boutwise-queue", "boutwise-queue-rescue"];
const RECEIPT_TYPE = "application/vnd.boutwise.receipt+json";
const OUTCOMES = ["stored", "already", "held"];
const HASH = /^[0-9a-f]{64}$/;
const BATCH = 50;
const ANSWER_MS = 4_000;
const at = (id) => document.getElementById(id);
// The page brings its words, in the language it was asked for in.
const words = JSON.parse(at("words").textContent);

// A database may never answer; then we say so, and do not wait for ever.
function answered(ask) {
  return new Promise((resolve, reject) => {
    setTimeout(() => reject(new Error("no answer")), ANSWER_MS);
    ask(resolve, reject);
  });
}

// In whatever version it is: a newer app may have written it.
function opened(name) {
  return answered((resolve, reject) => {
    const opening = indexedDB.open(name);
    let absent = false;
    opening.onupgradeneeded = () => { absent = true; opening.transaction.abort(); }; // make nothing that is not there
    opening.onsuccess = () => {
      const db = opening.result;
      db.onversionchange = () => db.close(); // a newer app in another tab must not wait for this page
      resolve(db);
    };
    opening.onerror = () => (absent ? resolve(null) : reject(opening.error));
  });
}

function rows(db, store) {
  return answered((resolve, reject) => {
    if (!db?.objectStoreNames.contains(store)) return resolve([]);
    const asked = db.transaction(store).objectStore(store).getAll();
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
    return null;
  });
}

// One database that fails does not hide what the other holds.
async function unsent() {
  const failed = [];
  const safely = (promise, otherwise) => promise.catch((error) => { failed.push(error); return otherwise; });
  const [queue, rescue] = await Promise.all(NAMES.map((name) => safely(opened(name), null)));
  const [entries, meta, loose] = await Promise.all([[queue, "entries"], [queue, "meta"], [rescue, "entries"]]
    .map(([db, store]) => safely(rows(db, store), [])));
  const facts = Object.fromEntries(meta.map(({ key, value }) => [key, value]));
  const waiting = entries.filter(({ state }) => ["stored", "offered"].includes(state)).sort((a, b) => a.number - b.number);
  return { queue, facts, waiting, loose, failed: failed.length > 0 };
}

function mark(queue, receipts) {
  return new Promise((resolve, reject) => {
    const tx = queue.transaction("entries", "readwrite", { durability: "strict" });
    tx.oncomplete = resolve;
    tx.onabort = () => reject(tx.error);
    for (const receipt of receipts) {
      const store = tx.objectStore("entries");
      const asked = store.get(receipt.id);
      asked.onsuccess = () => store.put({ ...asked.result, state: receipt.outcome === "held" ? "held" : "confirmed", receipt });
    }
  });
}

// A damaged row must not make the clinic refuse its neighbours.
const item = ({ body, sha256 }) => ({ body: String(body), sha256: HASH.test(sha256) ? sha256 : "0".repeat(64) });

async function push(batch, facts) {
  const nonce = crypto.randomUUID();
  const body = {
    protocol: 1, build: document.documentElement.dataset.build, nonce, high: facts.number ?? 0, have_revision: [],
    entries: batch.map(item), claim: null, sent_ms: Date.now(),
  };
  const response = await fetch("/api/v1/sync/push/", {
    method: "POST", credentials: "same-origin", cache: "no-store", redirect: "error",
    headers: { "Content-Type": "application/json", "X-Boutwise": "1" }, body: JSON.stringify(body),
  });
  const type = (response.headers.get("Content-Type") ?? "").split(";")[0];
  const reply = response.status === 200 && type === RECEIPT_TYPE ? await response.json() : null;
  // A clinic that began its log anew takes them too: its receipts name that log.
  if (reply?.nonce !== nonce) throw new Error("no receipt");
  const { log_identity, server_ms } = reply;
  const matched = (receipt) => {
    const row = batch.find((one) => item(one).sha256 === receipt.sha256);
    const named = row && (receipt.id === row.id || (receipt.id === null && receipt.outcome === "held"));
    return named && OUTCOMES.includes(receipt.outcome) ? [{ ...receipt, id: row.id, log_identity, server_ms }] : [];
  };
  return reply.receipts.flatMap(matched);
}

// Those of an earlier pairing go only where their owner said in the app that they are theirs.
const sendable = (waiting, { phone_id, earlier_mine }) =>
  waiting.filter((row) => row.phone_id === phone_id || earlier_mine === phone_id);

async function send() {
  const { queue, facts, waiting } = await unsent();
  at("count").textContent = words.sending;
  const own = sendable(waiting, facts);
  try {
    for (let from = 0; from < own.length; from += BATCH) {
      await mark(queue, await push(own.slice(from, from + BATCH), facts));
    }
    await show();
  } catch {
    at("count").textContent = words.failed;
  }
}

async function copy() {
  const { waiting, loose } = await unsent();
  const data = {
    format: "boutwise-entries-1",
    entries: waiting.map(item),
    unnumbered: loose.map(({ fields }) => fields),
  };
  const address = URL.createObjectURL(new Blob([JSON.stringify(data, null, 1)], { type: "application/json" }));
  const anchor = document.createElement("a");
  Object.assign(anchor, { href: address, download: "boutwise-entries.json" });
  anchor.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

function line(text) {
  const item = document.createElement("li");
  item.textContent = text;
  return item;
}

// A damaged entry is listed by what stands beside it, and goes out as it is.
function said({ body, for_date, kind }) {
  try {
    const { local_time, ...fields } = JSON.parse(body);
    return { ...fields, time: local_time.slice(11, 16) };
  } catch {
    return { for_date, kind, time: "" };
  }
}

function countWords(count, failed) {
  if (failed) return words.not_all;
  return count ? words.count.replace("{count}", count) : words.none;
}

async function show() {
  const { facts, waiting, loose, failed } = await unsent();
  const own = sendable(waiting, facts);
  const count = waiting.length + loose.length;
  at("count").textContent = countWords(count, failed);
  at("send").hidden = own.length === 0;
  at("earlier").hidden = own.length === waiting.length;
  at("copy").hidden = count === 0;
  const all = [...waiting, ...loose.map(({ fields }) => ({ body: JSON.stringify(fields) }))].map(said);
  at("list").replaceChildren(...all.map(({ for_date, time, kind }) => line(`${for_date} ${time} ${words[kind] ?? words.unreadable}`)));
}

at("send").addEventListener("click", send);
at("copy").addEventListener("click", copy);
show();
