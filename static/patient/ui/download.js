// A file of ours into the phone's own store of files.
const KEPT_MS = 60_000; // a browser may read it after the tap

export function download(text, type, name) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  const anchor = document.createElement("a");
  Object.assign(anchor, { href: address, download: name });
  anchor.click();
  setTimeout(() => URL.revokeObjectURL(address), KEPT_MS);
}
