// The skin check after a bout, and the morning after one.
import { SWELLING, faults as payloadFaults } from "../model/check.js";
import { addDays } from "../model/day.js";
import { asksToAct } from "../model/morning.js";
import { effectiveRevision } from "../model/plan.js";
import { say } from "../model/strings.js";
import { oneOf, scale } from "./choice.js";
import { button, h } from "./dom.js";
import { openDraft } from "./draft.js";
import { FaultList } from "./fault-list.js";
import { padCard } from "./bout-card.js";
import { placeOf, saveEntry } from "./saving.js";
import { SkinForm, unanswered } from "./skin-form.js";

const revisionOf = (view, day) => view.revision ?? effectiveRevision(view.program, addDays(day, -1));

export async function afterScreen(app, [episode]) {
  const { facts, view } = await app.one(episode);
  const bout = view?.after;
  const revision = view && revisionOf(view, facts.day);
  if (!bout || !revision) return app.go("#next");
  const draft = await openDraft(app, `after:${bout.id}`, () => ({ check_id: app.store.entries.newId(), skin: unanswered() }));
  const list = new FaultList();
  const skin = new SkinForm({ pads: revision.pads, answers: draft.value.skin, changed: draft.changed });
  const root = h("form", { class: "form", novalidate: true }, list.element, skin.element, padCard(view.limb, revision));
  const save = async () => {
    const found = skin.faults();
    list.show(found, root);
    if (found.length) return;
    const payload = { bout_id: bout.id, moment: "after", pads: skin.payloadPads() };
    const place = placeOf(facts, { episode, revision: revision.id, forDate: bout.for_date });
    const saved = await saveEntry(app, { id: draft.value.check_id, kind: "skin_check", payload, place, draftKey: draft.key });
    if (saved) app.go([payload, bout.payload].some(asksToAct) ? `#skin-told/${episode}/${saved}/${bout.id}` : "#next");
    else draft.changed();
  };
  return {
    title: say("after.title", { limb: say(`limb.${view.limb}`) }), area: "next",
    body: root, action: button(say("after.save"), app.once(save), { class: "button primary" }),
  };
}

export function morningQuestions(value, changed) {
  const set = (name) => (told) => { value[name] = told; changed(); };
  return [
    scale({ id: "knee_pain", legend: say("morning.knee_pain"), low: say("scale.low"), high: say("scale.pain_high"), value: value.knee_pain, pick: set("knee_pain") }),
    oneOf({ id: "swelling", legend: say("morning.swelling"), value: value.swelling, pick: set("swelling"), options: SWELLING.map((one) => ({ value: one, label: say(`swelling.${one}`) })) }),
  ];
}

export const morningFaults = (value) => ["knee_pain", "swelling"]
  .filter((name) => value[name] === null).map((id) => ({ id, words: say(`morning.fault_${id}`) }));

export async function morningScreen(app, [episode]) {
  const { facts, view } = await app.one(episode);
  const revision = view && revisionOf(view, facts.day);
  if (!revision || !view.morning) return app.go("#next");
  const draft = await openDraft(app, `morning:${episode}:${facts.day}`, () => ({
    check_id: app.store.entries.newId(), id: app.store.entries.newId(), skin: unanswered(), swelling: null, knee_pain: null,
  }));
  const { value } = draft;
  const list = new FaultList();
  const skin = new SkinForm({ pads: revision.pads, answers: value.skin, changed: draft.changed });
  const root = h("form", { class: "form", novalidate: true }, list.element, morningQuestions(value, draft.changed), skin.element);
  const save = async () => {
    const found = [...morningFaults(value), ...skin.faults()];
    list.show(found, root);
    if (found.length) return;
    const place = placeOf(facts, { episode, revision: revision.id });
    const check = { bout_id: null, moment: "next_morning", pads: skin.payloadPads() };
    const told = { swelling: value.swelling, knee_pain: value.knee_pain };
    if (payloadFaults("skin_check", check).length) return;
    // The morning check goes last: it is what takes the draft away.
    const looked = await saveEntry(app, { id: value.check_id, kind: "skin_check", payload: check, place });
    const saved = looked && (await saveEntry(app, { id: value.id, kind: "morning_check", payload: told, place, draftKey: draft.key }));
    if (saved) app.go([check, told].some(asksToAct) ? `#skin-told/${episode}/${looked}/${saved}` : "#next");
    else draft.changed();
  };
  return {
    title: say("morning.title", { limb: say(`limb.${view.limb}`) }), area: "next",
    body: root, action: button(say("morning.save"), app.once(save), { class: "button primary" }),
  };
}
