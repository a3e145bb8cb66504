// Reads from the store what the screens show. Entries of the last weeks only:
// two years of bouts must not make a start slower. A set of pads may be older.
import { addDays, localDay } from "../model/day.js";
import { currentEntries } from "../model/chain.js";
import { thaw } from "../model/entry.js";
import { formStands } from "../model/begun.js";
import { padsOf } from "../model/pads.js";
import { entriesOf, factsOf } from "../model/today.js";
import { programHere, textsHere } from "./in-language.js";

const WINDOW_DAYS = 40;

const ownEntry = (row) => ({
  ...thaw(row), own: true, state: row.state, saved_ms: row.saved_ms,
  version: row.receipt?.version ?? null, reason: row.reason ?? row.receipt?.reason ?? null, clinic_state: row.clinic_state ?? null,
});

const rescuedEntry = ({ fields, reading }) => ({ ...fields, own: true, number: 0, state: "stored", saved_ms: reading.now_ms, version: null });

const pulledEntry = (row) => ({ ...thaw(row), own: false, state: "confirmed", version: row.version ?? null });

async function ownRows(store, meta, first, before) {
  const rows = await store.entries.since(first, before);
  return rows.filter((row) => row.phone_id === meta.phone_id || row.phone_id === meta.earlier_mine);
}

// The same entry may be here twice: a save that was answered too late lies in
// the queue and in the rescue, and the clinic tells of our own.
function union(own, others) {
  const known = new Set(own.map(({ id }) => id));
  return [...own, ...others.filter(({ id }) => !known.has(id))];
}

async function entriesBetween(store, meta, first, before) {
  const [rows, pulled] = await Promise.all([ownRows(store, meta, first, before), store.record.since(first, before)]);
  return currentEntries(union(rows.map(ownEntry), pulled.map(pulledEntry)));
}

// The pads of one limb. What lies before the facts is read only until it can tell
// no more: the set is new or, unless its `whole` life is asked for, due.
export async function padsHere({ store }, facts, program, whole = false) {
  const began = program.revisions.map(({ effective_from }) => effective_from).filter(Boolean).sort()[0];
  let entries = entriesOf(facts, program);
  let pads = padsOf(entries, facts.texts);
  let { first } = facts;
  for (let days = 2 * WINDOW_DAYS; began < first && !pads.new_on && (whole || !pads.due); days *= 2) {
    const from = addDays(facts.day, -days);
    const older = await entriesBetween(store, facts.meta, from, first);
    entries = [...entriesOf({ entries: older }, program), ...entries];
    pads = padsOf(entries, facts.texts);
    first = from;
  }
  return pads;
}

// The bouts that were begun, by key; one that only was meant to be is over.
async function begunBouts({ drafts }, now_ms) {
  const keys = (await drafts.keys()).filter((key) => key.startsWith("bout:"));
  const bouts = await Promise.all(keys.map(async (key) => [key, await drafts.get(key)]));
  return Object.fromEntries(bouts.filter(([, bout]) => bout && formStands(bout, now_ms)));
}

export async function readFacts({ store, clock }) {
  const reading = clock.reading();
  const first = addDays(localDay(reading.now_ms, reading.offset_min), -WINDOW_DAYS);
  const meta = await store.meta.all();
  const [rows, rescued, holding, pulled, texts, programs, safety, drafts, waiting, strength, readings] = await Promise.all([
    ownRows(store, meta, first), store.entries.rescued().catch(() => []), store.entries.holding(), store.record.since(first),
    store.record.texts(), store.record.programs(), store.record.safety(), begunBouts(store, reading.now_ms), store.outbox.waiting(), store.record.strengthTests(), store.record.readings(),
  ]);
  const saved = rescued.map(rescuedEntry);
  const readOn = ({ id }) => (readings.has(id) ? localDay(Date.parse(readings.get(id)), reading.offset_min) : null);
  const entries = union(union(rows.map(ownEntry), saved), pulled.map(pulledEntry)).map((entry) => ({ ...entry, read_on: readOn(entry) }));
  const raised = [...holding.filter(({ phone_id }) => phone_id === meta.phone_id).map(ownEntry), ...saved];
  const facts = { ...factsOf({ reading, meta, texts: textsHere(texts), programs: programs.map(programHere), safety, raised, drafts, entries: currentEntries(entries) }), first };
  const pads = await Promise.all(facts.programs.map((program) => padsHere({ store }, facts, program)));
  const unsent = union(waiting.rows.map(ownEntry), saved).sort((a, b) => a.saved_ms - b.saved_ms);
  return { ...facts, pads: Object.fromEntries(facts.programs.map(({ episode }, at) => [episode.id, pads[at]])), unsent, waiting: unsent.length, earlier: waiting.earlier.length, strength };
}
