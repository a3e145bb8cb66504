// The entries that have not reached the clinic, as a file the clinic can read
// in by their ids.

export async function unsentAsFile(store) {
  const { rows, earlier } = await store.outbox.waiting();
  const rescued = await store.entries.rescued();
  return {
    format: "boutwise-entries-1",
    entries: [...rows, ...earlier].map(({ body, sha256 }) => ({ body, sha256 })),
    unnumbered: rescued.map(({ fields }) => fields),
  };
}

export function download(data, name) {
  const text = JSON.stringify(data, null, 1);
  const address = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  const anchor = document.createElement("a");
  Object.assign(anchor, { href: address, download: name });
  anchor.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
