// What to do now, in the clinic's fixed words: after a check that found
// something, and after a stop report.
import { asksToAct } from "../model/morning.js";
import { routeOf } from "../model/routes.js";
import { HOLDING_GRADE, checkGrade, restsTheSpot } from "../model/skin.js";
import { say } from "../model/strings.js";
import { closedCard } from "./closed-card.js";
import { button, h, link } from "./dom.js";
import { photoLink } from "./photo-screen.js";
import { icon } from "./shapes.js";
import { stateWords } from "./sent-line.js";

const dial = (number) => `tel:${number.replace(/[^+\d]/g, "")}`;
const bigCall = (label, number) => (number ? link(label, dial(number), { class: "button primary alarm" }) : null);

function skinLines(payload, texts) {
  const grade = checkGrade(payload);
  const fixed = texts?.skin?.[String(grade)];
  return [
    h("p", { class: "lead" }, fixed || say(`skin.told_${grade}`)),
    restsTheSpot(payload) ? h("p", {}, say("skin.told_rest")) : null,
    grade >= HOLDING_GRADE ? h("p", {}, say("skin.told_hold")) : null,
  ];
}

const kneeLine = (texts) => h("p", { class: "lead" }, texts?.knee?.bad || say("morning.told"));

// A bout that this check does not forbid: told first, then left to the patient.
async function boutBehind({ store }, episode, { id, payload }) {
  const begun = restsTheSpot(payload) ? null : await store.drafts.get(`bout:${episode}`).catch(() => null);
  return begun?.looked === id && begun.step === "before" ? begun : null;
}

function bothWays(app, episode, begun) {
  const { drafts } = app.store;
  const key = `bout:${episode}`;
  const way = (words, act, to) => button(say(words), app.once(async () => { await act().catch(() => {}); app.go(`#${to}/${episode}`); }));
  return h("div", { class: "two" }, way("skin.not_now", () => drafts.drop(key), "not-done"), way("skin.go_on", () => drafts.put(key, { ...begun, step: "do" }), "do"));
}

// `ids` of the checks that were just saved, of one look at a limb; "sore" beside them
// for a knee that is bad before a bout, which no check says.
export async function checkToldScreen(app, [episode, ...ids]) {
  const facts = await app.facts();
  const { texts } = facts;
  const here = ids.flatMap((one) => facts.entries.filter(({ id }) => id === one));
  const told = here.filter(({ payload }) => asksToAct(payload));
  const sore = ids.includes("sore");
  if (!here.length || !(told.length || sore)) return app.go("#next");
  const entry = told[0] ?? here[0];
  const serious = told.some(({ payload }) => !payload.pads || checkGrade(payload) >= HOLDING_GRADE);
  const begun = serious ? null : await boutBehind(app, episode, entry);
  const call = serious || sore ? bigCall(say("hold.call"), texts?.clinic_phone) : null;
  return {
    title: say(told.some(({ payload }) => payload.pads) ? "skin.told_title" : "morning.told_title"), area: "next",
    body: [
      told.map(({ payload }) => (payload.pads ? skinLines(payload, texts) : kneeLine(texts))), sore ? kneeLine(texts) : null,
      begun && !sore ? h("p", {}, say("skin.not_sure")) : null,
      h("p", { class: "hint" }, stateWords(entry)), await photoLink(app, facts, entry), call && !begun ? link(say("form.back_to_next"), "#next") : null,
    ],
    action: begun ? [call, bothWays(app, episode, begun)] : call ?? link(say("form.ok"), "#next", { class: "button primary" }),
  };
}

export async function stopToldScreen(app, [id]) {
  const facts = await app.facts();
  const entry = facts.entries.find((one) => one.id === id);
  if (!entry) return app.go("#next");
  const { texts } = facts;
  const route = routeOf(entry.payload.symptoms);
  const number = route === "emergency" ? texts?.emergency_number : texts?.clinic_phone;
  return {
    title: say(`stop.title_${route}`), area: "next", live: true,
    body: [
      h("section", { class: "card alarm-card" }, h("h2", {}, icon("stop"), say("stop.do_this")), h("p", { class: "lead" }, texts?.stop?.[route] || say(`stop.told_${route}`))),
      h("p", {}, h("strong", {}, say("stop.nobody_yet"))), closedCard(facts),
      h("p", { class: "hint" }, stateWords(entry)),
      route === "emergency" ? null : emergencyLine(texts),
      link(say("form.back_to_next"), "#next"),
    ],
    action: bigCall(say(route === "emergency" ? "stop.call_emergency" : "hold.call", { number: number ?? "" }), number) ?? link(say("hold.call"), "#call", { class: "button primary alarm" }),
  };
}

export function emergencyLine(texts) {
  const number = texts?.emergency_number;
  return h("p", {}, say("stop.worse"), " ", number ? h("a", { class: "inline-link", href: dial(number) }, say("stop.call_emergency", { number })) : null);
}
