// The entries that have not reached the clinic, as a file the clinic can read
// in by their ids.
import { say } from "../model/strings.js";
import { button } from "./dom.js";
import { download } from "./download.js";

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

// `done` is told when the copy was made.
export function copyButton(app, done = () => {}) {
  const save = async () => {
    try {
      download(JSON.stringify(await unsentAsFile(app.store), null, 1), "application/json", "boutwise-entries.json");
      app.frame.tell(say("call.exported"));
      done();
    } catch {
      app.frame.tell(say("trouble.no_copy"));
    }
  };
  return button(say("call.export"), save, { class: "button wide" });
}
