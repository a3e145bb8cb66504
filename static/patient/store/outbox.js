// What the clinic has not confirmed. Read, send, mark: a row changes its state
// after the receipt and is never taken out to be sent.

const WAITING = ["stored", "offered"];
const META = ["number", "phone_id", "earlier_mine"];
const KEEP_DAYS = 400;
const DAY_MS = 86_400_000;

// Stop reports first; then what else raised a hold; then in the order of saving.
const haste = ({ kind, holding }) => (kind === "stop_report" ? 2 : Number(holding === 1));
const firstOut = (a, b) => haste(b) - haste(a) || a.number - b.number;

function eachIn(store, states, visit, end) {
  let open = states.length;
  for (const state of states) {
    const walk = store.index("state").openCursor(state);
    walk.onsuccess = () => {
      const cursor = walk.result;
      if (cursor) {
        visit(cursor);
        cursor.continue();
      } else if ((open -= 1) === 0) end();
    };
  }
}

export class Outbox {
  #queue;
  #clock;

  constructor({ queue, clock }) {
    this.#queue = queue;
    this.#clock = clock;
  }

  // One picture of the queue: what waits, the highest number and the moment it
  // was true. The claim is made from this, so nothing saved later is claimed.
  // Rows of an earlier pairing go only where their owner said they are theirs.
  waiting() {
    const at_ms = this.#clock.now();
    return this.#queue.look(["entries", "meta"], ({ entries, meta }, done) => {
      const all = [];
      const facts = META.map((key) => meta.get(key));
      eachIn(entries, WAITING, (cursor) => all.push(cursor.value), () => {
        const [number, phone_id, earlier_mine] = facts.map(({ result }) => result?.value ?? null);
        const own = (row) => row.phone_id === phone_id || (phone_id !== null && earlier_mine === phone_id);
        const rows = all.filter(own).sort(firstOut);
        done({ rows, earlier: all.filter((row) => !own(row)), high: number ?? 0, at_ms });
      });
    });
  }

  async count() {
    const { rows, earlier } = await this.waiting();
    return rows.length + earlier.length;
  }

  #change(ids, next) {
    return this.#queue.write(["entries"], ({ entries }, done) => {
      let open = ids.length;
      if (open === 0) done();
      for (const id of ids) {
        const asked = entries.get(id);
        asked.onsuccess = () => {
          const changed = asked.result ? next(asked.result) : null;
          if (changed) entries.put(changed);
          if ((open -= 1) === 0) done();
        };
      }
    });
  }

  offered(ids) {
    const offered_ms = this.#clock.now();
    return this.#change(ids, (row) =>
      row.state === "stored" ? { ...row, state: "offered", offered_ms } : null);
  }

  // `receipts` have been matched by net/receipts.js before they come here.
  confirm(receipts) {
    const at_ms = this.#clock.now();
    const byId = new Map(receipts.map((receipt) => [receipt.id, receipt]));
    return this.#change([...byId.keys()], (row) => {
      const receipt = { ...byId.get(row.id), at_ms };
      return { ...row, state: receipt.outcome === "held" ? "held" : "confirmed", receipt };
    });
  }

  // The clinic looked at a held entry and could use it after all, or the other
  // way round.
  settle(id, state, reason) {
    return this.#change([id], (row) =>
      WAITING.includes(row.state)
        ? null
        : { ...row, state: state === "held" ? "held" : "confirmed", clinic_state: state, reason });
  }

  // The clinic's log was restored or lost rows: offer again what it had said
  // it has. `missing(row)` tells which.
  offerAgain(missing) {
    return this.#queue.write(["entries"], ({ entries }, done) => {
      let count = 0;
      eachIn(entries, ["confirmed", "held"], (cursor) => {
        if (!missing(cursor.value)) return;
        count += 1;
        cursor.update({ ...cursor.value, state: "stored" });
      }, () => done(count));
    });
  }

  // What an earlier pairing had sent to a log that is no more: restored since.
  offerFromOtherLogs({ phone_id: own, log_identity }) {
    return this.offerAgain(({ phone_id, receipt }) => phone_id !== own && receipt.log_identity !== log_identity);
  }

  // Numbers that the clinic misses. What it had confirmed is offered again; so
  // is, once, what it held without being able to read its number. `lost` are
  // those of which nothing (more) can come from this phone.
  missing({ phone_id, high, gaps }) {
    const lost = new Set(gaps);
    return this.#queue.write(["entries"], ({ entries }, done) => {
      let offered = 0;
      const visit = (cursor) => {
        const row = cursor.value;
        if (row.phone_id !== phone_id || !(row.number > high || lost.has(row.number))) return;
        if (row.state === "held" && row.again) return;
        lost.delete(row.number);
        if (WAITING.includes(row.state)) return;
        offered += 1;
        cursor.update({ ...row, state: "stored", again: row.state === "held" });
      };
      eachIn(entries, [...WAITING, "confirmed", "held"], visit, () => done({ offered, lost: [...lost] }));
    });
  }

  // Confirmed entries older than 400 days; unsent ones stay for ever. Age is
  // told by the clinic's clock at both ends: a phone set to the wrong year must
  // not throw anything away.
  prune({ server_ms, high }) {
    const before = server_ms - KEEP_DAYS * DAY_MS;
    return this.#queue.write(["entries"], ({ entries }, done) => {
      let count = 0;
      eachIn(entries, ["confirmed"], (cursor) => {
        const { receipt, number } = cursor.value;
        if (!(receipt.server_ms < before) || number > high) return;
        count += 1;
        cursor.delete();
      }, () => done(count));
    });
  }

  // The phone is left by its owner: what the clinic has goes from it, and
  // nothing else.
  dropArrived() {
    return this.#queue.write(["entries"], ({ entries }, done) => {
      eachIn(entries, ["confirmed", "held"], (cursor) => cursor.delete(), done);
    });
  }
}
