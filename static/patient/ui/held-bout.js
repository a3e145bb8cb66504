// A hold that comes while a bout runs: over everything else, and at once.
import { say } from "../model/strings.js";
import { h } from "./dom.js";
import { holdWords } from "./hold-card.js";
import { icon } from "./shapes.js";

// The phone stops its count. It cannot stop the current, and says so.
export function heldBout(holds, texts) {
  return h("section", { class: "card alarm-card", role: "alert" },
    h("h2", {}, icon("stop"), say("held.title")),
    h("p", {}, h("strong", {}, say("held.off"))),
    h("p", {}, holdWords(holds, texts)));
}
