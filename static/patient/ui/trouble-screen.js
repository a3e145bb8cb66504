// When the app itself fails: the way to the page that stands alone.
import { say } from "../model/strings.js";
import { h, link } from "./dom.js";

export function troubleScreen() {
  return {
    title: say("trouble.title"), area: null,
    body: [h("p", { class: "lead" }, say("trouble.lead")), h("p", {}, say("call.nobody_watches"))],
    action: link(say("trouble.rescue"), "/rescue/", { class: "button primary" }),
  };
}
