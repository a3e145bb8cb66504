// The rescue page's script. It stands alone: no import, so that a broken app
// cannot break it too. It only reads the queue, and marks what a receipt named.

const NAMES = ["boutwise-queue", "boutwise-queue-rescue"];
const RECEIPT_TYPE = "application/vnd.boutwise.receipt+json";
const BATCH = 50;
const at = (id) => document.getElementById(id);

function opened(name) {
  return new Promise((resolve) => {
    const opening = indexedDB.open(name);
    opening.onupgradeneeded = () => opening.transaction.abort(); // make nothing that is not there
    opening.onsuccess = () => resolve(opening.result);
    opening.onerror = () => resolve(null);
  });
}

function rows(db, store) {
  return new Promise((resolve) => {
    if (!db?.objectStoreNames.contains(store)) return resolve([]);
    const asked = db.transaction(store).objectStore(store).getAll();
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => resolve([]);
    return null;
  });
}

async function unsent() {
  const [queue, rescue] = await Promise.all(NAMES.map(opened));
  const [entries, meta, loose] = await Promise.all([rows(queue, "entries"), rows(queue, "meta"), rows(rescue, "entries")]);
  const facts = Object.fromEntries(meta.map(({ key, value }) => [key, value]));
  const waiting = entries.filter(({ state }) => ["stored", "offered"].includes(state)).sort((a, b) => a.number - b.number);
  return { queue, facts, waiting, loose };
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

async function push(batch, facts) {
  const nonce = crypto.randomUUID();
  const body = {
    protocol: 1, build: document.documentElement.dataset.build, nonce, high: facts.number ?? 0, have_revision: [],
    entries: batch.map(({ body: text, sha256 }) => ({ body: text, sha256 })), claim: null, sent_ms: Date.now(),
  };
  const response = await fetch("/api/v1/sync/push/", {
    method: "POST", credentials: "same-origin", cache: "no-store", redirect: "error",
    headers: { "Content-Type": "application/json", "X-Boutwise": "1" }, body: JSON.stringify(body),
  });
  const type = (response.headers.get("Content-Type") ?? "").split(";")[0];
  const reply = response.status === 200 && type === RECEIPT_TYPE ? await response.json() : null;
  if (reply?.nonce !== nonce || reply.log_identity !== facts.log_identity) throw new Error("no receipt");
  const named = ({ id, sha256 }) => batch.some((row) => row.id === id && row.sha256 === sha256);
  return reply.receipts.filter((receipt) => ["stored", "already", "held"].includes(receipt.outcome) && named(receipt));
}

async function send() {
  const { queue, facts, waiting } = await unsent();
  at("count").textContent = "Sending …";
  const own = waiting.filter(({ phone_id }) => phone_id === facts.phone_id);
  try {
    for (let from = 0; from < own.length; from += BATCH) {
      await mark(queue, await push(own.slice(from, from + BATCH), facts));
    }
    await show();
  } catch {
    at("count").textContent = "That did not work. Your entries are still here. Try again later.";
  }
}

async function copy() {
  const { waiting, loose } = await unsent();
  const data = {
    format: "boutwise-entries-1",
    entries: waiting.map(({ body, sha256 }) => ({ body, sha256 })),
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

async function show() {
  const { waiting, loose } = await unsent();
  const count = waiting.length + loose.length;
  at("count").textContent = count ? `Entries not sent yet: ${count}.` : "All entries of this phone are at the clinic.";
  at("send").hidden = waiting.length === 0;
  at("copy").hidden = count === 0;
  const words = [...waiting.map(({ body }) => JSON.parse(body)), ...loose.map(({ fields }) => fields)];
  at("list").replaceChildren(...words.map(({ for_date, local_time, kind }) => line(`${for_date} ${local_time.slice(11, 16)} ${kind.replaceAll("_", " ")}`)));
}

at("send").addEventListener("click", send);
at("copy").addEventListener("click", copy);
show();
