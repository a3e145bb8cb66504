// The worker: registered, looked after, and let take over only when nothing
// is open that a reload would disturb.
import { say } from "../model/strings.js";
import { button, h } from "./dom.js";

const WORKER = "/p/sw.js";
const HOUR_MS = 3_600_000;
const RELOADED = "boutwise-reloaded-for-";

// Registering takes an address that scripts may not make up.
function trusted(address) {
  const policy = globalThis.trustedTypes?.createPolicy("boutwise", {
    createScriptURL: (given) => { if (given === WORKER) return given; throw new TypeError("not our worker"); },
  });
  return policy ? policy.createScriptURL(address) : address;
}

// At most one reload for each reason, whatever the browser tells us.
export function reloadOnce(reason) {
  if (sessionStorage.getItem(RELOADED + reason)) return;
  sessionStorage.setItem(RELOADED + reason, "1");
  location.reload();
}

export class Update {
  #registration = null;
  #ready;
  #clean;
  #owed = false;

  // `ready(card)` is told when a new version waits; `clean()` says whether
  // nothing is being filled in.
  constructor({ ready, clean }) {
    this.#ready = ready;
    this.#clean = clean;
  }

  async start() {
    if (!navigator.serviceWorker) return;
    const hadController = Boolean(navigator.serviceWorker.controller);
    navigator.serviceWorker.addEventListener("controllerchange", () => { if (hadController) this.#owed = true; this.reloadIfClean(); });
    this.#registration = await navigator.serviceWorker.register(trusted(WORKER), { scope: "/p/", updateViaCache: "none" }).catch(() => null);
    if (!this.#registration) return;
    this.#watch();
    setInterval(() => this.look(), HOUR_MS);
  }

  // Installed apps look for updates too seldom by themselves.
  look() {
    this.#registration?.update().catch(() => {});
  }

  #watch() {
    const registration = this.#registration;
    const offer = () => { if (registration.waiting && navigator.serviceWorker.controller) this.#ready(this.#card()); };
    offer();
    registration.addEventListener("updatefound", () => {
      registration.installing?.addEventListener("statechange", offer);
    });
  }

  #card() {
    const take = () => this.#registration.waiting?.postMessage({ type: "take-over" });
    return h("div", { class: "card notice" }, h("p", {}, say("update.ready")), button(say("update.go"), take));
  }

  // None under a form: another tab may have let the new worker take over.
  reloadIfClean() {
    if (this.#owed && this.#clean()) reloadOnce(document.documentElement.dataset.build);
  }
}
