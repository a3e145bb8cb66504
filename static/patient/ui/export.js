// The entries that have not reached the clinic, as a file the clinic can read
// in by their ids.
import { say } from "../model/strings.js";
import { button } from "./dom.js";

async function unsentAsFile(store) {
  const rescued = await store.entries.rescued().catch(() => []);
  // A queue that fails does not keep back what the rescue holds.
  const { rows, earlier } = await store.outbox.waiting().catch((error) => {
    if (!rescued.length) throw error;
    return { rows: [], earlier: [] };
  });
  return {
    format: "boutwise-entries-1",
    entries: [...rows, ...earlier].map(({ body, sha256 }) => ({ body, sha256 })),
    unnumbered: rescued.map(({ fields }) => fields),
  };
}

function download(data) {
  const text = JSON.stringify(data, null, 1);
  const address = URL.createObjectURL(new Blob([text], { type: "application/json" }));
  const anchor = document.createElement("a");
  Object.assign(anchor, { href: address, download: "boutwise-entries.json" });
  anchor.click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}

// `done` is told when the copy was made.
export function copyButton(app, done = () => {}) {
  const save = async () => {
    try {
      download(await unsentAsFile(app.store));
      app.frame.tell(say("call.exported"));
      done();
    } catch {
      app.frame.tell(say("trouble.no_copy"));
    }
  };
  return button(say("call.export"), save, { class: "button wide" });
}
