// How to put the app on the home screen, in at most three steps, for the kind
// of phone this is; and what is lost without it.
import { say } from "../model/strings.js";
import { button, h } from "./dom.js";

export const isInstalled = () => matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;

function kindOfPhone() {
  const agent = navigator.userAgent;
  if (/iPhone|iPad/.test(agent)) return "apple";
  return /Android/.test(agent) ? "android" : "other";
}

export function phoneLabel() {
  return say(`install.label_${kindOfPhone()}`);
}

// Chromium offers its own prompt; it may be shown after a tap only.
let offered = null;
addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  offered = event;
});

export function installCard() {
  if (isInstalled()) return null;
  const kind = kindOfPhone();
  const steps = [1, 2, 3].map((step) => h("li", {}, say(`install.${kind}_${step}`)));
  return h("section", { class: "card" }, h("h2", {}, say("install.title")), h("p", {}, say("install.why")),
    h("ol", { class: "facts" }, steps),
    offered ? button(say("install.now"), () => offered.prompt(), { class: "button wide" }) : null);
}

// On an iPhone a link opens the browser, not the app on the home screen.
export const mustInstallFirst = () => kindOfPhone() === "apple" && !isInstalled();
