// The bout itself. The phone counts along if the patient wants it; it never
// starts or stops the stimulator, and says so.
import { startLow } from "../model/start-low.js";
import { say } from "../model/strings.js";
import { Awake } from "./awake.js";
import { fillLog } from "./bout-answers.js";
import { cautions, doseCard } from "./bout-card.js";
import { readyParts } from "./bout-ready.js";
import { openBout } from "./broken-off.js";
import { cueSwitches, doubtCard, exerciseCard } from "./count-tools.js";
import { CountView } from "./count-view.js";
import { Counting } from "./counting.js";
import { Cues } from "./cues.js";
import { button, h, swap } from "./dom.js";
import { openHourlyDraft } from "./draft.js";
import { heldBout } from "./held-bout.js";

// All done, says one clock of the phone, and the other does not: first the answer.
const overOf = ({ other }) => (other ? "asked" : "over");
const stateOf = (now) => (now.cue === "over" ? overOf(now) : now.rests ? "paused" : "running");

const doubtKey = ({ other, contraction, cue }) => (other ? `${other.number} ${contraction} ${cue === "over"}` : "");

class Bout {
  #app;
  #view;
  #low;
  #draft;
  #place = h("div", { class: "stack bout" });
  #action = h("div", { class: "stack" });
  #doubt = h("div");
  #exercise = h("div");
  #line = h("p", { class: "lead" });
  #lineUp = button(say("do.line_up"), () => this.#counting.lineUp(), { class: "button wide" });
  #ends = h("div", { class: "two" });
  #dark = h("p", { class: "hint", hidden: true }, say("do.dark"));
  #counting;
  #count;
  #cues;
  #awake = new Awake((lit) => { this.#dark.hidden = lit; });
  #drawn = {};
  #held = false;
  #gone = false;

  constructor({ app, view, low, draft }) {
    this.#app = app;
    this.#view = view;
    this.#low = low;
    this.#draft = draft;
    this.#count = new CountView(view.revision);
    this.#cues = new Cues(app.choices);
    this.#counting = new Counting({ app, revision: view.revision, draft, show: (now) => this.#show(now) });
    if (this.#counting.begun) this.#goOn();
    else this.#drawReady();
  }

  screen() {
    return {
      title: say("do.title", { limb: say(`limb.${this.#view.limb}`) }), area: "next",
      body: this.#place, action: this.#action, left: () => this.#leave(), heard: () => this.#hear(),
    };
  }

  // What was fetched since may hold this limb. What was done is still logged.
  async #hear() {
    const { facts, view } = await this.#app.one(this.#view.program.episode.id);
    if (!view?.holds.length || this.#held || this.#gone || this.#draft.value.step === "log") return;
    this.#held = true;
    if (!this.#counting.begun) return this.#app.go("#next");
    this.#counting.pause();
    this.#leave();
    swap(this.#place, heldBout(view.holds, facts.texts), this.#count.element);
    swap(this.#action, button(say("held.log"), () => this.#toLog({ ended: true }), { class: "button primary alarm" }));
    this.#place.scrollIntoView?.();
  }

  #drawReady() {
    swap(this.#place,
      h("p", { class: "lead" }, say("do.start_hint")), h("p", { class: "hint" }, say("do.not_driven")),
      readyParts(this.#view, this.#low, this.#app.texts),
      button(say("do.without_count"), () => this.#toLog({}), { class: "button wide" }));
    swap(this.#action, button(say("do.start_count"), () => this.#start(), { class: "button primary" }));
  }

  #drawCount() {
    const { revision } = this.#view;
    swap(this.#place,
      this.#doubt, this.#count.element, this.#line, this.#exercise,
      this.#lineUp, this.#ends,
      h("p", { class: "hint" }, say("do.not_driven")), this.#dark,
      cueSwitches(this.#app.choices),
      doseCard(revision), cautions(this.#app.texts));
  }

  async #start() {
    this.#app.frame.tell("");
    this.#drawCount();
    this.#wakeUp();
    this.#draft.value.step = "do";
    await this.#counting.begin();
  }

  #goOn() {
    this.#drawCount();
    this.#wakeUp();
    this.#counting.resume();
  }

  // After a start of its own the app is silent until the first tap.
  #wakeUp() {
    this.#cues.wake();
    this.#awake.hold();
    document.addEventListener("visibilitychange", this.#seen);
    document.addEventListener("click", this.#tapped);
  }

  #tapped = () => this.#cues.wake();

  // Seen again: the phone may have put out the light and hushed the sound.
  #seen = () => {
    if (document.hidden) return;
    this.#awake.again();
    this.#cues.wake();
  };

  #leave() {
    this.#gone = true;
    this.#counting.stop();
    this.#awake.release();
    this.#cues.stop();
    document.removeEventListener("visibilitychange", this.#seen);
    document.removeEventListener("click", this.#tapped);
  }

  #show(now) {
    if (this.#count.show(now) && !now.rests) this.#cues.give(now.cue);
    this.#renew("doubt", doubtKey(now), this.#doubt, () => swap(this.#doubt, doubtCard(now, { fits: () => this.#counting.itFits(), takes: () => this.#counting.takeOther() })));
    this.#renew("exercise", `${now.exercise?.code} ${now.skippable}`, this.#exercise, () => swap(this.#exercise, exerciseCard(now, () => this.#counting.skip())));
    this.#renew("state", stateOf(now), this.#action, () => this.#drawState(stateOf(now)));
  }

  // A part is drawn anew only when it is another one: a button that is just
  // being tapped must not vanish under the thumb, nor the keyboard's place.
  #renew(part, key, place, draw) {
    if (this.#drawn[part] === key) return;
    this.#drawn[part] = key;
    const held = place.contains(document.activeElement);
    draw();
    if (held) [place, this.#action, this.#place].map((part) => part.querySelector("button")).find(Boolean)?.focus();
  }

  #drawState(state) {
    this.#line.hidden = ["running", "asked"].includes(state);
    this.#lineUp.hidden = ["over", "asked"].includes(state); // no current is to come any more
    this.#line.textContent = this.#line.hidden ? "" : say(`do.${state}_line`);
    if (state === "asked") return [this.#action, this.#ends].forEach((place) => swap(place, null));
    const finished = (look) => button(say("do.finished"), () => this.#toLog({}), { class: `button ${look}` });
    const turn = state === "paused"
      ? button(say("do.go_on"), () => this.#counting.goOn(), { class: "button primary" })
      : button(say("do.pause"), () => this.#counting.pause(), { class: "button primary" });
    swap(this.#action, state === "over" ? finished("primary") : turn);
    return swap(this.#ends, state === "over" ? null : [finished(""), button(say("do.end_early"), () => this.#toLog({ ended: true }))]);
  }

  // A store that takes nothing now: the count goes on and the patient taps again.
  #kept() {
    const notYet = () => {
      this.#draft.value.step = "do";
      this.#app.frame.tell(say("do.not_kept"));
      return false;
    };
    return this.#draft.write().then(() => true, notYet);
  }

  async #toLog({ ended = false }) {
    fillLog(this.#draft.value, this.#view.revision, this.#app.clock.reading(), { count: this.#counting.result(), ended });
    if (!(await this.#kept())) return;
    this.#leave();
    this.#app.go(`#log/${this.#view.program.episode.id}`);
  }
}

export async function doScreen(app, [episode]) {
  const { facts, view } = await app.one(episode);
  if (!view) return app.go("#next");
  // Of the day it began on: a bout goes on past midnight as it was.
  const { draft, revision } = await openBout(app, { facts, view });
  const { step } = draft.value;
  if (step === "log") return app.go(`#log/${episode}`);
  if (!revision || !step || view.holds.length) return app.go("#next");
  return new Bout({ app, view: { ...view, revision }, low: startLow(facts, view.program, revision), draft }).screen();
}

const STEP_SCREENS = { before: "before", do: "do", log: "log" };

export async function resumeScreen(app, [episode]) {
  const { value } = await openHourlyDraft(app, `bout:${episode}`, () => ({}));
  return app.go(`#${STEP_SCREENS[value.step] ?? "before"}/${episode}`);
}
