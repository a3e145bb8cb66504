// When the app itself fails: a copy of the entries, and the way to the page
// that stands alone.
import { say } from "../model/strings.js";
import { button, h, link } from "./dom.js";
import { copyButton } from "./export.js";

export function troubleScreen(app) {
  return {
    title: say("trouble.title"), area: null,
    body: [h("p", { class: "lead" }, say("trouble.lead")), copyButton(app), h("p", {}, say("trouble.online")), h("p", {}, say("call.nobody_watches"))],
    action: link(say("trouble.rescue"), `/rescue/?language=${say.language}`, { class: "button primary" }),
  };
}

const MENDS_ITSELF = ["no_answer", "blocked"];

// A phone that was never paired and cannot keep entries must not become the log.
export function noStoreScreen(app, problem) {
  if (app.wasPaired() || MENDS_ITSELF.includes(problem)) return troubleScreen(app);
  return {
    title: say("keeps.title"), area: null,
    body: [h("p", { class: "lead" }, say(problem === "full" ? "keeps.full" : "keeps.nothing")), h("p", {}, say("call.nobody_watches"))],
    action: button(say("keeps.again"), () => app.draw(), { class: "button primary" }),
  };
}
