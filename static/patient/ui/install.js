// How to put the app on the home screen, in at most three steps, for the kind
// of phone and browser this is; and what is lost without it.
import { say } from "../model/strings.js";
import { button, h } from "./dom.js";

// For the desk, which speaks English; the patient does not see it.
const LABELS = { apple: "iPhone or iPad", android: "Android phone", other: "Browser" };

export const isInstalled = () => matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;

// An iPad calls itself a Mac, but no Mac has a touch screen.
function kindOfPhone({ userAgent, maxTouchPoints } = navigator) {
  if (/iPhone|iPad/.test(userAgent) || (/Macintosh/.test(userAgent) && maxTouchPoints > 1)) return "apple";
  return /Android/.test(userAgent) ? "android" : "other";
}

// A page shown inside another app (a mail, a chat) can put nothing anywhere;
// Firefox on a computer neither.
export function wayToInstall(browser = navigator) {
  const { userAgent } = browser;
  const kind = kindOfPhone(browser);
  if (kind === "apple" && !/Safari\//.test(userAgent)) return "inside";
  if (kind === "android" && /; wv\)/.test(userAgent)) return "inside";
  if (kind === "other" && /Firefox\//.test(userAgent)) return "cannot";
  return kind;
}

const STEPS = { apple: 3, android: 3, inside: 3, other: 3, cannot: 1 };

export const phoneLabel = () => LABELS[kindOfPhone()];

// Chromium offers its own prompt; it may be shown after a tap only.
let offered = null;
globalThis.addEventListener?.("beforeinstallprompt", (event) => {
  event.preventDefault();
  offered = event;
});

export function installCard() {
  if (isInstalled()) return null;
  const way = wayToInstall();
  const steps = Array.from({ length: STEPS[way] }, (_, at) => h("li", {}, say(`install.${way}_${at + 1}`)));
  return h("section", { class: "card" }, h("h2", {}, say("install.title")), h("p", {}, say("install.why")),
    h("ol", { class: "facts" }, steps),
    offered ? button(say("install.now"), () => offered.prompt(), { class: "button wide" }) : null);
}

// On an iPhone a link opens the browser, not the app on the home screen.
export const mustInstallFirst = () => kindOfPhone() === "apple" && !isInstalled();
