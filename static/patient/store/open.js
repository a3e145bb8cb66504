// The phone's whole store, with everything it needs from outside given in.
import { Copies } from "./copies.js";
import { Drafts } from "./drafts.js";
import { Entries } from "./entries.js";
import { Link } from "./link.js";
import { Meta } from "./meta.js";
import { Outbox } from "./outbox.js";
import { Photos } from "./photos.js";
import { PHOTOS, QUEUE, RECORD, RESCUE } from "./plans.js";
import { RecordStore } from "./record.js";
import { Reserve } from "./reserve.js";

// `factory` is indexedDB, `second()` a database factory of another place or null,
// `timer` {set, clear}, `clock` {now, reading} and `random(n)` gives n random bytes.
export function openStore({ factory, second = async () => null, timer, clock, random }) {
  const link = (plan) => new Link({ factory, timer, plan });
  const copies = new Copies({ second, timer });
  const queue = new Link({ factory, timer, plan: QUEUE, seed: () => copies.seed() });
  const rescue = link(RESCUE);
  const record = link(RECORD);
  const photos = link(PHOTOS);
  const meta = new Meta(queue);
  return {
    meta,
    drafts: new Drafts({ queue, timer, clock }),
    entries: new Entries({ queue, rescue, copies, meta, timer, clock, random }),
    outbox: new Outbox({ queue, clock }),
    record: new RecordStore(record),
    photos: new Photos({ photos, clock }),
    reserve: new Reserve({ queue, random }),
    matchCopies: () => copies.match(queue),
    close: () => Promise.all([queue.close(), rescue.close(), record.close(), photos.close(), copies.close()]),
  };
}
