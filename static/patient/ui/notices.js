// Quiet cards above the bout: trouble with the pairing, a changed program, a
// cleared phone, an app that waits to be renewed.
import { changedCard, comingCard } from "./revision-cards.js";
import { say } from "../model/strings.js";
import { button, h } from "./dom.js";

const TROUBLE = ["not_paired", "revoked_stolen", "revoked_replaced", "too_old"];

const card = (words, ...more) => h("div", { class: "card notice" }, h("p", {}, words), more);

function troubleCard({ trouble }) {
  if (!TROUBLE.includes(trouble)) return null;
  const pairs = trouble === "too_old" ? null : h("a", { class: "button", href: "#pair" }, say("notice.pair_again"));
  return card(say(`notice.${trouble}`), pairs);
}

function wipedCard(app, { wiped }) {
  if (!wiped) return null;
  const seen = async () => { await app.store.meta.set({ wiped: false }); app.draw(); };
  return card(say("notice.wiped"), button(say("form.ok"), seen));
}

function padsCard(facts, view) {
  if (!view?.revision || view.step === "ended") return null;
  const { uses, due } = facts.pads[view.program.episode.id];
  if (!due) return null;
  return card(say("notice.pads", { count: uses }), h("a", { class: "button", href: `#pads/${view.program.episode.id}` }, say("others.pads")));
}

export function noticeCards(app, facts, view) {
  const { meta, earlier } = facts;
  return [
    troubleCard(meta), changedCard(app, facts, view), comingCard(view), wipedCard(app, meta), padsCard(facts, view),
    earlier ? card(say("notice.earlier", { count: earlier }), h("a", { class: "button", href: "#call" }, say("notice.see_call"))) : null,
  ];
}
