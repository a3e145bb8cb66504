// Reminders on this phone: what they are, in our own words, before the browser
// asks its question; on and off; and what to do where the phone says no.
import { offerDue } from "../model/reminder-offer.js";
import { say } from "../model/strings.js";
import { button, h, link } from "./dom.js";
import { installCard, mustInstallFirst } from "./install.js";

const FACTS = ["private", "when", "clinic", "back"];
const STEPS = [1, 2, 3];

const items = (keys) => keys.map((key) => h("li", {}, say(`remind.${key}`)));

const says = () => h("p", {}, say("remind.says", { words: say("reminder.words"), unheard: say("reminder.unheard") }));

const off = () => [h("p", { class: "lead" }, say("remind.what")), says(), h("ul", { class: "facts" }, items(FACTS)), h("p", { class: "hint" }, say("remind.asks"))];

const BODIES = {
  off,
  // A stop from a message is the clinic's to know: this phone does not hear of it.
  on: () => [h("p", { class: "lead" }, say("remind.on")), says(), h("p", {}, say("remind.clinic")), h("p", { class: "hint" }, say("remind.stopped"))],
  waits: () => [h("p", { class: "lead" }, say("remind.on")), h("p", {}, say("remind.waits")), says()],
  denied: () => [h("p", { class: "lead" }, say("remind.denied")), h("ol", { class: "facts" }, items(STEPS.map((n) => `denied_${n}`)))],
  cannot: () => h("p", { class: "lead" }, say("remind.cannot")),
  install: () => [h("p", { class: "lead" }, say("remind.install")), installCard()],
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
    body: [BODIES[state](), state === "on" || state === "waits" ? stop : null, link(say("calendar.title"), "#calendar", { class: "button wide" })],
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
