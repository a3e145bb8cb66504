// Entry of the patient's app: gives the core its real clock, chance, storage
// and network, draws the screen the address names, and keeps syncing.
import { say } from "./model/strings.js";
import { programToday } from "./model/today.js";
import { makeEngine } from "./net/engine.js";
import { tokenIn } from "./net/pairing.js";
import { Choices } from "./store/choices.js";
import { openStore } from "./store/open.js";
import { browserPush } from "./ui/browser-push.js";
import { readFacts } from "./ui/facts.js";
import { Frame } from "./ui/frame.js";
import { isInstalled } from "./ui/install.js";
import { applyLooks } from "./ui/looks.js";
import { screenFor } from "./ui/screens.js";
import { troubleScreen } from "./ui/trouble-screen.js";
import { Update, reloadOnce } from "./ui/update.js";
import { loadWords } from "./ui/words.js";

const run = String(Math.random());
const clock = {
  now: () => Date.now(),
  reading: () => ({
    now_ms: Date.now(), mono_ms: performance.now(), run, offset_min: -new Date().getTimezoneOffset(),
    zone: Intl.DateTimeFormat().resolvedOptions().timeZone || "UTC",
  }),
};
const timer = {
  set: (act, ms) => setTimeout(act, ms),
  clear: (wait) => clearTimeout(wait),
  every: (act, ms) => setInterval(() => { if (!document.hidden) act(); }, ms),
};
const PAIRED = "boutwise-paired";
const beside = (act) => { try { return act(localStorage); } catch { return null; } };
// Only Chromium has buckets, and only Chromium needs a second one (store/copies.js).
const second = async () => (await navigator.storageBuckets?.open("boutwise"))?.indexedDB ?? null;
const random = (count) => crypto.getRandomValues(new Uint8Array(count));

class App {
  clock = clock;
  timer = timer;
  build = document.documentElement.dataset.build ?? "";
  pairToken = null;
  texts = null;
  came = null;
  browser = browserPush;
  store = openStore({ factory: indexedDB, second, timer, clock, random });
  frame = new Frame(document.getElementById("app"));
  engine = makeEngine({
    store: this.store, fetch: (...given) => fetch(...given), timer, clock, random,
    locks: navigator.locks ?? null, build: this.build, browser: browserPush, tell: (outcome) => this.#told(outcome),
    photosTold: () => { this.#news(); this.#others?.postMessage("sent"); },
  });
  // What another tab saved or sent shows here too.
  #others = globalThis.BroadcastChannel ? new BroadcastChannel("boutwise") : null;
  #screen = null;
  #shown = "";
  #turn = 0;
  #waiting = 0;
  #paired = false;
  #agreed = false;
  #begun = false; // a bout, open wherever its patient looks
  #update = new Update({
    ready: (card) => { this.#updateCard = card; this.#drawIfLive(); },
    clean: () => this.#isLive() && !this.#begun,
  });
  #updateCard = null;

  constructor(choices) {
    this.choices = choices;
  }

  async start() {
    this.#takeToken();
    history.replaceState(history.state ?? {}, ""); // nobody came from anywhere
    this.#listen();
    if (!(await this.isPaired()) && !this.pairToken && !(await this.#wasLeft())) await this.#recover();
    await this.draw();
    this.store.matchCopies().catch(() => {});
    this.sync();
    this.engine.pacer.watch(() => this.#waiting > 0 || Boolean(this.#screen?.heard));
    this.#update.start();
    if (!(await this.isPaired())) this.#agree();
    if (isInstalled()) this.#persist();
  }

  // A token never stays in the address, where it would be kept and shown.
  #takeToken() {
    this.pairToken = tokenIn(location.hash);
    if (this.pairToken) history.replaceState(null, "", `${location.pathname}#pair`);
  }

  // A credential without a store: the browser has cleared this phone.
  #recover() {
    return this.engine.pairing.ask({ quietly: true }).catch(() => null);
  }

  // Once paired always paired: a revoked phone still shows and logs.
  async isPaired() {
    this.#paired ||= Boolean(await this.store.meta.get("phone_id").catch(() => null));
    if (this.#paired) beside((kept) => kept.setItem(PAIRED, "1"));
    return this.#paired;
  }

  #wasLeft() {
    return this.store.meta.get("left", false).catch(() => false);
  }

  // Its owner has left this phone: it starts anew, as one that was never paired.
  forgotten() {
    beside((kept) => kept.removeItem(PAIRED));
    this.#others?.postMessage("left");
    this.#anew();
  }

  #anew() {
    location.replace(location.pathname);
  }

  // Another language from now on; the old one stays while the new is not here.
  async speak(language) {
    try {
      await loadWords(language);
    } catch {
      return this.frame.tell(say("settings.no_language"));
    }
    this.choices.set({ language });
    this.engine.reminding.speak(language).catch(() => {});
    return this.draw();
  }

  // Known although the store fails: there may be a log in it.
  wasPaired() {
    return beside((kept) => kept.getItem(PAIRED)) !== null;
  }

  #listen() {
    addEventListener("hashchange", () => this.draw());
    addEventListener("online", () => this.sync({ reset: true }));
    addEventListener("pageshow", (event) => { if (event.persisted) this.#woke(); });
    document.addEventListener("visibilitychange", () => (document.hidden ? this.#hidden() : this.#woke()));
    addEventListener("pagehide", () => this.engine.left());
    document.addEventListener("freeze", () => this.engine.left());
    addEventListener("appinstalled", () => this.#persist());
    navigator.serviceWorker?.addEventListener("message", ({ data }) => { if (data?.type === "show-next" && this.#isLive()) this.go("#next"); });
    this.#others?.addEventListener("message", ({ data }) => this.#heardOf(data));
  }

  // Another tab's entry wants the way that a photo of ours may be on.
  #heardOf(data) {
    if (data === "left") return this.#anew();
    if (data === "saved") this.engine.photos.aside();
    return this.#news();
  }

  #hidden() {
    this.store.drafts.flush();
    this.engine.hidden();
  }

  #woke() {
    this.sync();
    this.#update.look();
    this.#drawIfLive();
  }

  // True while the screen only shows; a form is never drawn under its patient.
  #isLive() {
    return Boolean(this.#screen?.live) && this.#shown === location.hash;
  }

  #drawIfLive() {
    if (this.#isLive()) this.draw();
  }

  // Something came. A screen that must not be drawn anew may still have to know.
  #news() {
    this.#screen?.heard?.();
    this.#drawIfLive();
  }

  sync(how) {
    return this.engine.pacer.now(how);
  }

  async facts() {
    const facts = await readFacts(this);
    this.#waiting = facts.waiting;
    this.texts = facts.texts;
    this.#begun = Object.keys(facts.drafts).length > 0;
    facts.vain = this.engine.pacer.vain;
    return facts;
  }

  async one(episode) {
    const facts = await this.facts();
    const program = facts.programs.find((one) => one.episode.id === episode);
    return { facts, view: program ? programToday(facts, program) : null };
  }

  // Leads on from a form that is saved or a screen with nothing to show. Links
  // leave a way back; this leaves none, or Back would save it twice or turn around.
  go(hash) {
    if (history.state?.from === hash) return history.back();
    history.replaceState(history.state, "", hash);
    return this.draw();
  }

  // A second tap while the first one still saves does nothing.
  once(act) {
    let busy = false;
    return async (event) => {
      event?.preventDefault?.();
      if (busy) return;
      busy = true;
      await act().finally(() => { busy = false; });
    };
  }

  saved() {
    this.#persist();
    this.#others?.postMessage("saved");
    this.sync();
  }

  #persist() {
    navigator.storage?.persist?.().catch(() => {});
  }

  async draw() {
    const turn = (this.#turn += 1);
    const hash = location.hash;
    const [name, ...rest] = hash.slice(1).split("/");
    const screen = await screenFor(this, name, rest).catch((error) => this.#trouble(error));
    // Only the last one begun is shown: two at once would mix their parts.
    if (!screen || turn !== this.#turn || location.hash !== hash) return screen?.left?.();
    this.#screen?.left?.();
    this.#screen = screen;
    const moved = this.#shown !== hash;
    if (moved) this.#arrive();
    this.#shown = hash;
    this.frame.show(screen, { phone: this.texts?.clinic_phone, moved });
    this.frame.strip(screen.live && !this.#begun ? this.#updateCard : null);
    this.#update.reloadIfClean();
    return null;
  }

  // Each place in the history knows from which screen its patient came, and the
  // app when.
  #arrive() {
    this.frame.moved();
    this.came = clock.reading();
    if (!history.state) history.replaceState({ from: this.#shown || "#next" }, "");
  }

  // A bug or a store that does not answer: say so, and offer a copy. A lost
  // database process comes back with the page; never under a form, nor where
  // no worker would bring the page back.
  #trouble(error) {
    console.error(error);
    const form = this.#screen && !this.#screen.live;
    if (error.name === "StoreError" && !form && navigator.serviceWorker?.controller) reloadOnce("store");
    return troubleScreen(this);
  }

  // Once in the life of a page: is the clinic still told where to remind us?
  #agree() {
    if (this.#agreed) return;
    this.#agreed = true;
    this.engine.reminding.agree().then(() => this.#drawIfLive()).catch(() => {});
  }

  // What a round changed is drawn where nothing is being filled in.
  #told({ state }) {
    document.documentElement.dataset.sync = state;
    if (state === "running") return;
    this.#news();
    if (state === "settled") {
      this.#others?.postMessage("sent");
      this.store.reserve.fill().catch(() => {});
      this.#agree();
    }
  }
}

const choices = new Choices(beside((kept) => kept));
applyLooks(choices);
loadWords(choices.get("language")).then(() => new App(choices).start());
