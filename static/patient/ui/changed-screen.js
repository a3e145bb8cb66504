// Something changed: a medicine, an illness, an operation, a pregnancy, an
// implant. A note that a rule can read; the clinic screens again.
import { CHANGED, changeStops } from "../model/changes.js";
import { say } from "../model/strings.js";
import { someOf } from "./choice.js";
import { h, button, link } from "./dom.js";
import { openDraft } from "./draft.js";
import { FaultList } from "./fault-list.js";
import { placeOf, saveEntry } from "./saving.js";
import { stateWords } from "./sent-line.js";

const textOf = (changed) => changed.map((one) => say(`changed.${one}`)).join(", ");

export async function changedScreen(app) {
  const facts = await app.facts();
  const draft = await openDraft(app, "changed", () => ({ id: app.store.entries.newId(), changed: [] }));
  const { value } = draft;
  const list = new FaultList();
  const what = someOf({
    id: "changed", legend: say("changed.legend"), values: value.changed,
    options: CHANGED.map((one) => ({ value: one, label: say(`changed.${one}`) })),
    pick: (told) => { value.changed = told; draft.changed(); },
  });
  const root = h("form", { class: "form", novalidate: true }, list.element, h("p", { class: "lead" }, say("changed.lead")), what);
  const save = async () => {
    const found = value.changed.length ? [] : [{ id: "changed", words: say("changed.fault") }];
    list.show(found, root);
    if (found.length) return;
    const payload = { text: textOf(value.changed), wants_contact: false, changed: value.changed };
    const saved = await saveEntry(app, { id: value.id, kind: "note_to_clinic", payload, place: placeOf(facts, {}), draftKey: draft.key });
    if (saved) app.go(`#changed-told/${value.id}`);
    else draft.changed();
  };
  return { title: say("changed.title"), area: "next", body: root, action: button(say("changed.save"), app.once(save), { class: "button primary" }) };
}

export async function changedToldScreen(app, [id]) {
  const { entries, texts } = await app.facts();
  const entry = entries.find((one) => one.id === id);
  if (!entry?.payload.changed) return app.go("#next");
  const stops = changeStops(entry.payload.changed);
  const call = texts?.clinic_phone ? `tel:${texts.clinic_phone.replace(/[^+\d]/g, "")}` : "#call";
  return {
    title: say("changed.told_title"), area: "next", live: true,
    body: [
      h("section", { class: stops ? "card alarm-card" : "card" }, h("p", { class: "lead" }, say(stops ? "changed.told_stop" : "changed.told_go_on")), h("p", {}, say("changed.told_again"), " ", stops ? null : say("changed.told_dose"))),
      h("p", {}, say("changed.nobody_yet")), h("p", { class: "hint" }, stateWords(entry)),
      stops ? link(say("form.back_to_next"), "#next") : null,
    ],
    action: stops ? link(say("hold.call"), call, { class: "button primary alarm" }) : link(say("form.ok"), "#next", { class: "button primary" }),
  };
}
