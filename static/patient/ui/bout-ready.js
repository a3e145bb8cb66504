// Just before the current: pads on, how strong, what to take care of.
import { say } from "../model/strings.js";
import { cautions, doseCard, intensityLines, padCard } from "./bout-card.js";
import { h } from "./dom.js";

function lowWords({ why, days }) {
  return why ? h("p", { class: "warn" }, say(`low.${why}`, { days })) : null;
}

function strengthCard(revision, low) {
  return h("section", { class: "card" },
    h("h2", {}, say("low.title")),
    h("p", {}, say("low.zero")), lowWords(low),
    h("ul", { class: "facts" }, intensityLines(revision, low.last)),
    low.why === null ? h("p", { class: "hint" }, say("low.new_things")) : null);
}

export function readyParts({ limb, revision }, low, texts) {
  return [
    h("section", { class: "card" }, h("h2", {}, say("pads.place")), padCard(limb, revision)),
    strengthCard(revision, low),
    cautions(texts, true),
    doseCard(revision),
  ];
}
