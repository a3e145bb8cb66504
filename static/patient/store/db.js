// IndexedDB with deadlines. A browser may never answer an open or a write
// (it happens after sleep), so nothing here waits for ever.

const OPEN_MS = 4_000;
const WRITE_MS = 3_000;

// In place of a seed: refuse with "absent" rather than make a database.
export const ASK = Symbol("ask");

export class StoreError extends Error {
  constructor(code, cause) {
    super(`store: ${code}`, { cause });
    this.name = "StoreError";
    this.code = code;
  }
}

// `timer` is {set, clear}; the promise settles once, late answers are dropped.
export function withDeadline(timer, ms, start) {
  return new Promise((resolve, reject) => {
    const wait = timer.set(() => reject(new StoreError("no_answer")), ms);
    const settle = (how) => (value) => { timer.clear(wait); how(value); };
    const fail = settle(reject);
    try {
      start(settle(resolve), fail);
    } catch (error) {
      fail(new StoreError(codeOf(error), error));
    }
  });
}

function codeOf(error) {
  // Safari calls a lost database process an unknown error.
  const names = { QuotaExceededError: "full", VersionError: "newer", InvalidStateError: "closed", UnknownError: "closed" };
  return names[error?.name] ?? "failed";
}

function request(factory, { name, version, upgrade, seed, onGone }) {
  return (resolve, reject) => {
    const opening = version ? factory.open(name, version) : factory.open(name);
    let absent = false;
    opening.onupgradeneeded = () => {
      absent = seed === ASK;
      if (absent) opening.transaction.abort(); // nothing is made before we know what to begin with
      else upgrade?.(opening.result, seed);
    };
    opening.onblocked = () => reject(new StoreError("blocked"));
    opening.onerror = () => reject(new StoreError(absent ? "absent" : codeOf(opening.error), opening.error));
    opening.onsuccess = () => {
      const db = opening.result;
      // Another tab wants to upgrade: step aside, or it waits for ever.
      db.onversionchange = () => { db.close(); onGone?.("upgraded"); };
      db.onclose = () => onGone?.("closed");
      resolve(db);
    };
  };
}

// An old shell that meets a newer database takes it as it is: changes to the
// schema only ever add, so the old code still finds what it needs.
export async function open(factory, timer, plan) {
  const once = (given) => withDeadline(timer, OPEN_MS, request(factory, given));
  try {
    return await once(plan);
  } catch (error) {
    if (error.code !== "newer") throw error;
    return once({ ...plan, version: undefined });
  }
}

// `work(stores, done)` may only await requests of this transaction through
// callbacks. What `done(value)` was told is the result, and the promise
// resolves at `complete` and nowhere earlier: only then is it saved.
export function transact(db, timer, names, { mode, durability = "strict" }, work) {
  return withDeadline(timer, WRITE_MS, (resolve, reject) => {
    let result;
    const tx = db.transaction(names, mode, { durability });
    tx.oncomplete = () => resolve(result);
    tx.onabort = () => reject(new StoreError(codeOf(tx.error), tx.error));
    tx.onerror = () => {};
    const stores = Object.fromEntries(names.map((name) => [name, tx.objectStore(name)]));
    // A page that leaves gives auto-commit no turn, so we commit ourselves.
    const done = (value) => { result = value; tx.commit?.(); };
    work(stores, done);
  });
}

export function read(db, timer, name, ask) {
  return transact(db, timer, [name], { mode: "readonly" }, (stores, done) => {
    const asked = ask(stores[name]);
    asked.onsuccess = () => done(asked.result);
  });
}

// From a day on, up to the day before another where one is given.
export const daysFrom = (day, before) => (before ? IDBKeyRange.bound(day, before, false, true) : IDBKeyRange.lowerBound(day));
