// A bout was not done: say why, in one tap.
import { NOT_DONE } from "../model/check.js";
import { addDays } from "../model/day.js";
import { entriesOf } from "../model/today.js";
import { say } from "../model/strings.js";
import { oneOf } from "./choice.js";
import { button, h } from "./dom.js";
import { openDraft } from "./draft.js";
import { FaultList } from "./fault-list.js";
import { placeOf, saveEntry } from "./saving.js";

export const reasonQuestion = (value, changed) => oneOf({
  id: "reason", legend: say("not_done.why"), value: value.reason,
  options: NOT_DONE.map((code) => ({ value: code, label: say(`reason.${code}`) })),
  pick: (told) => { value.reason = told; changed(); },
});

const dayQuestion = (facts, value, changed) => oneOf({
  id: "day", legend: say("not_done.which_day"), value: value.day, kind: "pair",
  options: [{ value: facts.day, label: say("day.today") }, { value: addDays(facts.day, -1), label: say("day.yesterday") }],
  pick: (told) => { value.day = told; changed(); },
});

// Which bout of its day this is: the one after those that were told.
function ordinalOn(facts, program, day) {
  const told = entriesOf(facts, program, day).filter(({ kind }) => ["bout", "not_done"].includes(kind));
  return Math.min(told.length + 1, 10);
}

export async function notDoneScreen(app, [episode]) {
  const { facts, view } = await app.one(episode);
  if (!view?.revision) return app.go("#next");
  const draft = await openDraft(app, `not-done:${episode}:${facts.day}`, () => ({ id: app.store.entries.newId(), reason: null, day: facts.day }));
  const { value } = draft;
  const list = new FaultList();
  const root = h("form", { class: "form", novalidate: true }, list.element,
    reasonQuestion(value, draft.changed), dayQuestion(facts, value, draft.changed));
  const save = async () => {
    const found = value.reason ? [] : [{ id: "reason", words: say("not_done.fault") }];
    list.show(found, root);
    if (found.length) return;
    const place = placeOf(facts, { episode, revision: view.revision.id, forDate: value.day });
    const payload = { ordinal: ordinalOn(facts, view.program, value.day), reason: value.reason };
    const saved = await saveEntry(app, { id: value.id, kind: "not_done", payload, place, draftKey: draft.key });
    if (saved) app.go("#next");
    else draft.changed();
  };
  return {
    title: say("not_done.title", { limb: say(`limb.${view.limb}`) }), area: "next",
    body: root, action: button(say("not_done.save"), app.once(save), { class: "button primary" }),
  };
}
