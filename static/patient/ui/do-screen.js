// The bout itself. The phone counts along if the patient wants it; it never
// starts or stops the stimulator, and says so.
import { linedUp } from "../model/phase.js";
import { say } from "../model/strings.js";
import { cautions, doseList, exerciseList, padCard } from "./bout-card.js";
import { answersFromPlan } from "./bout-answers.js";
import { CountView } from "./count-view.js";
import { button, h, swap } from "./dom.js";
import { openDraft } from "./draft.js";

const MINUTE_MS = 60_000;

// A wake lock is a kindness, not a promise: without one nothing changes.
const stayAwake = () => navigator.wakeLock?.request("screen").catch(() => null) ?? null;

class Bout {
  #app;
  #view;
  #draft;
  #place = h("div", { class: "stack" });
  #action = h("div", { class: "stack" });
  #count = null;

  constructor({ app, view, draft }) {
    this.#app = app;
    this.#view = view;
    this.#draft = draft;
    this.#draw();
  }

  screen() {
    return {
      title: say("do.title", { limb: say(`limb.${this.#view.limb}`) }), area: "next",
      body: this.#place, action: this.#action, left: () => this.#count?.stop(),
    };
  }

  #draw() {
    const { limb, revision, last } = this.#view;
    const counting = this.#draft.value.started_ms;
    this.#count?.stop();
    this.#count = counting ? new CountView({ revision, clock: this.#app.clock, startMs: counting }) : null;
    swap(this.#place,
      h("p", { class: "lead" }, say("do.not_driven")),
      this.#count?.element ?? padCard(limb, revision),
      counting ? button(say("do.line_up"), () => this.#lineUp(), { class: "button wide" }) : null,
      h("section", { class: "card" }, h("h2", {}, say("dose.title")), doseList(revision, last), exerciseList(revision)),
      cautions(this.#app.texts, !counting),
      counting ? null : button(say("do.without_count"), () => this.#toLog({}), { class: "button wide" }));
    swap(this.#action, counting ? this.#ends() : button(say("do.start_count"), () => this.#start(), { class: "button primary" }));
  }

  #ends() {
    return [
      button(say("do.finished"), () => this.#toLog({}), { class: "button primary" }),
      button(say("do.end_early"), () => this.#toLog({ ended: true }), { class: "button" }),
    ];
  }

  async #start() {
    stayAwake();
    await this.#startAt(this.#app.clock.now());
    this.#draw();
  }

  async #lineUp() {
    const at = linedUp(this.#view.revision, this.#draft.value.started_ms, this.#app.clock.now());
    await this.#startAt(at);
    this.#count.moveTo(at);
  }

  #startAt(ms) {
    this.#draft.value.started_ms = ms;
    return this.#draft.write();
  }

  // What was counted fills the log; the patient confirms or corrects it there.
  async #toLog({ ended = false }) {
    const { value } = this.#draft;
    const { revision } = this.#view;
    const plan = answersFromPlan(revision, this.#app.clock.reading(), value.day);
    const counted = this.#count ? this.#counted(ended) : {};
    value.answers = { ...plan, ...counted, knee_pain_before: value.knee_pain_before, ended };
    value.step = "log";
    await this.#draft.write();
    this.#app.go(`#log/${this.#view.program.episode.id}`);
  }

  #counted(ended) {
    const { now_ms, offset_min } = this.#app.clock.reading();
    const { started_ms, day } = this.#draft.value;
    const started = new Date(started_ms + offset_min * MINUTE_MS).toISOString().slice(11, 16);
    const { finished } = this.#count.now();
    const { contractions_per_bout, bout_min } = this.#view.revision;
    const minutes = Math.max(1, Math.round((now_ms - started_ms) / MINUTE_MS));
    const early = ended ? { contractions: finished, minutes: Math.min(minutes, bout_min) } : { contractions: contractions_per_bout };
    return { started_at: `${day}T${started}`, ...early };
  }
}

export async function doScreen(app, [episode]) {
  const { view } = await app.one(episode);
  const draft = await openDraft(app, `bout:${episode}`, () => ({ step: "none" }));
  if (!view?.revision || draft.value.step === "none" || view.holds.length) return app.go("#next");
  return new Bout({ app, view, draft }).screen();
}

const STEP_SCREENS = { before: "before", do: "do", log: "log" };

export async function resumeScreen(app, [episode]) {
  const draft = await app.store.drafts.get(`bout:${episode}`);
  return app.go(`#${STEP_SCREENS[draft?.step] ?? "before"}/${episode}`);
}
