// The pads of one limb: how often they were used, new ones, and what helps when
// they do not stick.
import { say } from "../model/strings.js";
import { button, h, link } from "./dom.js";
import { padsHere } from "./facts.js";
import { placeOf, saveEntry } from "./saving.js";
import { stateWords } from "./sent-line.js";

function usedLines({ uses, of, new_on, due }) {
  const since = new_on ? say("pads_used.since", { day: say.day(new_on) }) : say("pads_used.not_told");
  return h("section", { class: due ? "card notice" : "card" },
    h("p", { class: "lead" }, say("pads_used.count", { count: uses })),
    h("p", {}, since, " ", say("pads_used.life", { count: of })), due ? h("p", {}, h("strong", {}, say("pads_used.soon"))) : null);
}

export async function padsScreen(app, [episode]) {
  const { facts, view } = await app.one(episode);
  if (!view) return app.go("#next");
  const id = app.store.entries.newId();
  const tell = (news) => app.once(async () => {
    const payload = { text: say(`pads_used.told_${news}`), wants_contact: false, pads: news };
    const place = placeOf(facts, { episode, revision: view.revision?.id ?? null });
    if (await saveEntry(app, { id, kind: "note_to_clinic", payload, place })) app.go(news === "new" ? "#next" : `#pads-told/${id}`);
  });
  return {
    title: say("pads_used.title", { limb: say(`limb.${view.limb}`) }), area: "next",
    body: [usedLines(await padsHere(app, facts, view.program, true)), h("p", { class: "hint" }, say("pads_used.one_person")), button(say("pads_used.wont_stick"), tell("wont_stick"), { class: "button wide" })],
    action: button(say("pads_used.new"), tell("new"), { class: "button primary" }),
  };
}

const ADVICE = ["clean", "wet", "press", "replace", "loose"];

export async function padsToldScreen(app, [id]) {
  const facts = await app.facts();
  const entry = facts.entries.find((one) => one.id === id);
  if (entry?.payload.pads !== "wont_stick") return app.go("#next");
  return {
    title: say("pads_advice.title"), area: "next", live: true,
    body: [h("ol", { class: "facts" }, ADVICE.map((one) => h("li", {}, say(`pads_advice.${one}`)))), h("p", {}, say("pads_advice.clinic")), h("p", { class: "hint" }, stateWords(entry))],
    action: link(say("form.ok"), "#next", { class: "button primary" }),
  };
}
