// Reminders on this phone: what they are, in our own words, before the browser
// asks its question; on and off; and what to do where the phone says no.
import { offerDue } from "../model/reminder-offer.js";
import { say } from "../model/strings.js";
import { button, h, link } from "./dom.js";
import { installCard, mustInstallFirst } from "./install.js";

const FACTS = ["private", "when", "clinic", "back"];
const STEPS = [1, 2, 3];

const items = (keys) => keys.map((key) => h("li", {}, say(`remind.${key}`)));

const p = (key, name = null) => h("p", { class: name }, say(`remind.${key}`));

const lead = (key) => p(key, "lead");

const says = () => h("p", {}, say("remind.says", { words: say("reminder.words"), unheard: say("reminder.unheard") }));

// Where one sentence says it all, the word's key is the state.
const BODIES = {
  off: () => [lead("what"), says(), h("ul", { class: "facts" }, items(FACTS)), p("asks", "hint")],
  // Of a stop from another message this phone hears at its next start.
  on: () => [lead("on"), says(), p("clinic"), p("stopped", "hint")],
  waits: () => [lead("on"), p("waits"), says()],
  denied: () => [lead("denied"), h("ol", { class: "facts" }, items(STEPS.map((n) => `denied_${n}`)))],
  install: () => [lead("install"), installCard()],
};

const TOLD = new Set(["none", "failed"]);

export async function remindersScreen(app) {
  const { reminding } = app.engine;
  const state = mustInstallFirst() ? "install" : await reminding.stands();
  const then = (act) => app.once(async () => {
    const came = await act();
    if (TOLD.has(came)) app.frame.tell(say(`remind.${came}`));
    await app.draw();
  });
  const go = button(say("remind.go"), then(() => reminding.turnOn(say.language)), { class: "button primary" });
  const stop = button(say("remind.stop"), then(() => reminding.turnOff()), { class: "button wide" });
  return {
    title: say("remind.title"), area: "call", live: true,
    body: [BODIES[state]?.() ?? lead(state), state === "on" || state === "waits" ? stop : null, link(say("calendar.title"), "#calendar", { class: "button wide" })],
    action: state === "off" ? go : null,
  };
}

const RESTING = new Set(["held", "paused", "ended"]);

// On the next bout's screen, where nothing is entered.
export function offerCard(app, facts, view) {
  const { browser } = app;
  if (!view || RESTING.has(view.step) || mustInstallFirst() || !browser.can() || browser.permission() !== "default" || !offerDue(facts.meta, facts)) return null;
  const later = async () => { await app.store.meta.set({ push_asked_on: facts.day }); app.draw(); };
  return h("section", { class: "card stack" }, h("h2", {}, say("remind.offer")),
    link(say("remind.see"), "#reminders", { class: "button wide" }), button(say("remind.not_now"), later, { class: "button wide" }));
}
