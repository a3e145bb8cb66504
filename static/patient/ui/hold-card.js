// A hold: the clinic's own words, why, and that logging goes on.
import { say } from "../model/strings.js";
import { h, link } from "./dom.js";
import { icon } from "./shapes.js";

export function holdWords(holds, texts) {
  const scope = holds.some((hold) => hold.scope === "all") ? "all" : "limb";
  return texts?.hold?.[scope] || say(`hold.${scope}`);
}

export function holdCard(holds, texts) {
  return h("section", { class: "card alarm-card", "aria-label": say("hold.title") },
    h("h2", {}, icon("stop"), say("hold.title")),
    h("p", {}, holdWords(holds, texts)),
    h("p", { class: "hint" }, say("hold.only_clinic")),
    link(say("hold.code"), "#release"));
}
