// Next bout: what is due, what is done, what waits, and one next step.
import { lessonDue } from "../model/lesson.js";
import { startLow } from "../model/start-low.js";
import { programToday } from "../model/today.js";
import { say } from "../model/strings.js";
import { boutCard } from "./bout-card.js";
import { h, link } from "./dom.js";
import { holdCard } from "./hold-card.js";
import { otherThings } from "./other-things.js";
import { sentLine } from "./sent-line.js";
import { boutRow } from "./shapes.js";
import { limbHeading } from "./limb-heading.js";
import { noticeCards } from "./notices.js";
import { offerCard } from "./reminders-screen.js";

const BY_TIME = { bout: "before", resume: "resume", unlogged: "log", after: "after", morning: "morning" };

// Left stands left.
const bySide = (views) => [...views].sort((a, b) => a.limb.localeCompare(b.limb));

function chooser(views) {
  const one = (view) => h("a", { class: "button primary limb-button", href: `#next/${view.program.episode.id}` },
    h("strong", {}, say(`limb.${view.limb}`)), h("span", {}, say(`step.${view.step}_short`)));
  return h("div", { class: "pair-of-limbs" }, bySide(views).map(one));
}

// Both limbs at a glance; which one goes on is chosen below.
function limbCards(views) {
  return bySide(views).map((view) => h("section", { class: "card" }, limbHead(view), dayLine(view), stepLine(view)));
}

function primary(view, { texts, meta }) {
  const phone = texts?.clinic_phone;
  const id = view.program.episode.id;
  if (view.step === "held") return link(say("hold.call"), phone ? `tel:${phone.replace(/[^+\d]/g, "")}` : "#call", { class: "button primary alarm" });
  const target = view.step === "bout" && lessonDue(meta, view.last) ? "lesson" : BY_TIME[view.step];
  if (!target) return null;
  return link(say(`step.${view.step}_go`, { ordinal: view.next.ordinal ?? 1 }), `#${target}/${id}`, { class: "button primary" });
}

function limbHead(view) {
  return h("p", { class: "limb", "data-limb": view.limb },
    limbHeading(view.limb));
}

function dayLine({ next, step, revision, whole }) {
  // "0 of 2 done" would ask for what a hold forbids.
  if (step === "held" || step === "not_started" || !revision || next.due === 0) return null;
  return h("p", { class: "day-line" }, boutRow(whole, next.due), say("next.done_of", { done: whole, due: next.due }));
}

function lineKey({ step }, until, first) {
  if (step === "paused" && until) return "step.paused_until_line";
  return step === "not_started" && first ? "step.starts_on_line" : `step.${step}_line`;
}

function stepLine(view) {
  const from = view.next.not_before?.slice(11) ?? "";
  const until = view.pause?.last_day ?? null;
  const first = view.coming?.effective_from ?? view.coming?.first_day;
  const values = { from, until: until && say.day(until), day: view.begun && say.day(view.begun.day), first: first && say.day(first), ordinal: view.next.ordinal ?? 1 };
  return h("p", { class: "step-line" }, say(lineKey(view, until, first), values));
}

// What ran until the hold is not lost.
function brokenLink({ broken, program }) {
  return broken ? link(say("step.unlogged_go"), `#log/${program.episode.id}`, { class: "button wide" }) : null;
}

const RESTING = new Set(["held", "paused", "ended"]);

// What the bout is, or will be; not while there must be none.
function boutPart(facts, view) {
  const revision = view.revision ?? view.coming;
  if (!revision || RESTING.has(view.step)) return null;
  return boutCard({ ...view, revision }, facts.texts, startLow(facts, view.program, revision).last);
}

function oneLimb(app, facts, view, others) {
  return [
    view.holds.length ? holdCard(view.holds, facts.texts) : null,
    limbHead(view), dayLine(view),
    view.step === "held" ? brokenLink(view) : stepLine(view),
    noticeCards(app, facts, view), sentLine(facts),
    boutPart(facts, view), offerCard(app, facts, view),
    otherThings(facts, view, others),
  ];
}

function nothingYet(app, facts) {
  const waits = facts.meta.pairing === "waiting";
  return {
    title: say("area.next"), area: "next", live: true,
    body: [noticeCards(app, facts, null), h("p", { class: "lead" }, say(waits ? "pair.waiting" : "next.no_program")), sentLine(facts)],
  };
}

export async function nextScreen(app, [episode]) {
  const facts = await app.facts();
  const views = facts.programs.map((program) => programToday(facts, program));
  if (!views.length) return nothingYet(app, facts);
  const chosen = views.length === 1 ? views[0] : views.find(({ program }) => program.episode.id === episode);
  const base = { title: say("area.next"), area: "next", live: true };
  if (!chosen) {
    const standing = facts.holds.filter(({ lifted }) => !lifted);
    const holds = standing.length ? holdCard(standing, facts.texts) : null;
    return { ...base, heading: say("limb.which"), body: [holds, noticeCards(app, facts, null), limbCards(views), sentLine(facts)], action: chooser(views) };
  }
  return { ...base, plain: true, body: oneLimb(app, facts, chosen, views.length > 1), action: primary(chosen, facts) };
}
