// Call: who to call and when, and what is on this phone.
import { SYMPTOMS_BY_ROUTE } from "../model/routes.js";
import { say } from "../model/strings.js";
import { closedCard } from "./closed-card.js";
import { button, h, link } from "./dom.js";
import { copyButton } from "./export.js";
import { heardWords, sentLine } from "./sent-line.js";

const dial = (number) => `tel:${number.replace(/[^+\d]/g, "")}`;

function clinicCard(texts) {
  if (!texts) return h("p", { class: "lead" }, say("call.no_texts"));
  return h("section", { class: "card" },
    h("h2", {}, texts.clinic_name), h("p", { class: "number" }, texts.clinic_phone),
    h("p", {}, texts.clinic_hours), texts.out_of_hours ? h("p", {}, say("call.out_of_hours"), " ", texts.out_of_hours) : null);
}

function whenCard(texts) {
  const part = (route) => h("li", {}, h("strong", {}, say(`stop.group_${route}`)), " ",
    SYMPTOMS_BY_ROUTE[route].map((code) => say(`symptom.${code}`)).join(", "), ". ", texts?.stop?.[route] ?? say(`stop.told_${route}`));
  return h("details", { class: "card" }, h("summary", {}, h("strong", {}, say("call.when"))),
    h("ul", { class: "facts" }, Object.keys(SYMPTOMS_BY_ROUTE).map(part)));
}

function phoneCard(app, facts) {
  const { meta, waiting, earlier } = facts;
  const mine = async () => {
    await app.store.meta.set({ earlier_mine: meta.phone_id });
    await app.store.outbox.offerFromOtherLogs(meta);
    app.saved();
    app.draw();
  };
  return h("section", { class: "card stack" },
    h("h2", {}, say("call.this_phone")), sentLine(facts),
    waiting ? h("p", { class: "hint" }, heardWords(facts)) : null,
    button(say("call.sync_now"), () => app.sync({ reset: true }), { class: "button wide" }),
    waiting ? link(say("call.see_waiting"), "#waiting", { class: "button wide" }) : null,
    waiting + earlier ? copyButton(app) : null,
    earlier ? [h("p", {}, say("call.earlier", { count: earlier })), button(say("call.earlier_mine"), mine, { class: "button wide" })] : null,
    link(say("settings.title"), "#settings", { class: "button wide" }));
}

export async function callScreen(app) {
  const facts = await app.facts();
  const { texts } = facts;
  return {
    title: say("area.call"), area: "call", live: true,
    body: [
      closedCard(facts), clinicCard(texts),
      texts?.emergency_number ? link(say("call.emergency", { number: texts.emergency_number }), dial(texts.emergency_number), { class: "button wide" }) : null,
      h("p", { class: "hint" }, say("call.nobody_watches")), whenCard(texts),
      h("section", { class: "others" }, link(say("others.note"), "#note"), link(say("lesson.again"), "#lesson/again/1"), facts.meta.phone_id ? null : link(say("pair.title"), "#pair")),
      phoneCard(app, facts),
    ],
    action: texts?.clinic_phone ? link(say("hold.call"), dial(texts.clinic_phone), { class: "button primary" }) : null,
  };
}
