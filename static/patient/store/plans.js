// The databases. The queue is small and its version never rises, so no
// upgrade can ever stand between a patient and a saved entry. What can be
// fetched again lives in the record; the rescue takes entries while the queue
// does not answer; the copies stand in another place of the browser's; photos
// have their own, so that a full or broken one is never in an entry's way.

// Beside the drafts, which are only ever listed by key.
export const RESERVE = Object.freeze({ store: "drafts", key: "reserve" });

export const QUEUE = Object.freeze({
  name: "boutwise-queue",
  version: 1,
  reserve: RESERVE,
  upgrade(db, seed) {
    const entries = db.createObjectStore("entries", { keyPath: "id" });
    entries.createIndex("state", "state");
    entries.createIndex("for_date", "for_date");
    entries.createIndex("holding", "holding");
    db.createObjectStore("drafts", { keyPath: "key" });
    const meta = db.createObjectStore("meta", { keyPath: "key" });
    seed?.entries.forEach((row) => entries.put(row));
    seed?.meta.forEach((fact) => meta.put(fact));
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

export const COPIES = Object.freeze({
  name: "boutwise-copies",
  version: 1,
  durability: "relaxed", // outlives the app; the queue itself outlives the phone's power
  upgrade(db) {
    db.createObjectStore("entries", { keyPath: "id" });
    db.createObjectStore("meta", { keyPath: "key" });
  },
});

export const PHOTOS = Object.freeze({
  name: "boutwise-photos",
  version: 1,
  upgrade(db) {
    db.createObjectStore("photos", { keyPath: "id" });
  },
});
