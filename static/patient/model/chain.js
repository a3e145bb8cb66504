// Entries as they stand now: corrections and withdrawals applied.
// Nothing is edited: a correction is an entry that names an older one.

// The clinic's version decides between two corrections; what it has not yet
// numbered is newer. The phone's clock decides nothing.
const laterLast = (a, b) => (a.version ?? Infinity) - (b.version ?? Infinity) || a.number - b.number;

function changesByTarget(entries) {
  const changes = new Map();
  for (const entry of entries) {
    if (!["correction", "withdrawal"].includes(entry.kind)) continue;
    const of = entry.payload.of;
    changes.set(of, [...(changes.get(of) ?? []), entry]);
  }
  return changes;
}

function standing(entry, changes) {
  const corrections = changes.filter(({ kind }) => kind === "correction").sort(laterLast);
  const head = corrections.at(-1);
  return {
    ...entry,
    payload: head ? head.payload.payload : entry.payload,
    first_payload: entry.payload,
    changes,
    withdrawn: changes.some(({ kind }) => kind === "withdrawal"),
  };
}

// Every original entry with its current payload; withdrawn ones are marked.
export function currentEntries(entries) {
  const changes = changesByTarget(entries);
  return entries
    .filter(({ kind }) => !["correction", "withdrawal"].includes(kind))
    .map((entry) => standing(entry, changes.get(entry.id) ?? []));
}
