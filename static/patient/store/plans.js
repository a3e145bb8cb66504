// The three databases. The queue is small and its version never rises, so no
// upgrade can ever stand between a patient and a saved entry. What can be
// fetched again lives in the record; the rescue takes entries while the queue
// does not answer.

// Beside the drafts, which are only ever listed by key.
export const RESERVE = Object.freeze({ store: "drafts", key: "reserve" });

export const QUEUE = Object.freeze({
  name: "boutwise-queue",
  version: 1,
  reserve: RESERVE,
  upgrade(db) {
    const entries = db.createObjectStore("entries", { keyPath: "id" });
    entries.createIndex("state", "state");
    entries.createIndex("for_date", "for_date");
    entries.createIndex("holding", "holding");
    db.createObjectStore("drafts", { keyPath: "key" });
    db.createObjectStore("meta", { keyPath: "key" });
  },
});

export const RECORD = Object.freeze({
  name: "boutwise-record",
  version: 1,
  upgrade(db) {
    for (const name of ["program", "hold", "lift", "entry", "entry_state", "strength_test"]) {
      const store = db.createObjectStore(name, { keyPath: "id" });
      if (name === "entry") store.createIndex("for_date", "for_date");
    }
    db.createObjectStore("single", { keyPath: "key" });
  },
});

export const RESCUE = Object.freeze({
  name: "boutwise-queue-rescue",
  version: 1,
  upgrade(db) {
    db.createObjectStore("entries", { keyPath: "id" });
  },
});
