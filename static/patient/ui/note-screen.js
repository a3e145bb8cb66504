// A note to the clinic; not for urgent matters, and it says so.
import { MAX, cleanText } from "../model/check.js";
import { say } from "../model/strings.js";
import { closedCard } from "./closed-card.js";
import { someOf } from "./choice.js";
import { button, h } from "./dom.js";
import { readWords } from "./entry-words.js";
import { openDraft } from "./draft.js";
import { FaultList } from "./fault-list.js";
import { placeOf, saveEntry } from "./saving.js";

const LAST = 3;

// What was written of late, and whether it was read.
function lastNotes({ entries }) {
  const notes = entries.filter(({ kind, payload, withdrawn }) => kind === "note_to_clinic" && payload.pads !== "new" && !withdrawn)
    .sort((a, b) => (b.device_ms ?? 0) - (a.device_ms ?? 0)).slice(0, LAST);
  if (!notes.length) return null;
  return h("section", { class: "card" }, h("h2", {}, say("note.before")), h("ul", { class: "facts" }, notes.map((note) =>
    h("li", {}, h("a", { class: "inline-link calm", href: `#entry/${note.id}` }, say("note.of", { day: say.day(note.for_date) })), " ", readWords(note)))));
}

export async function noteScreen(app) {
  const facts = await app.facts();
  if (!facts.meta.phone_id) return app.go("#pair");
  const draft = await openDraft(app, "note", () => ({ id: app.store.entries.newId(), text: "", wants_contact: false }));
  const { value } = draft;
  const list = new FaultList();
  const area = h("textarea", { id: "text", rows: 6, maxlength: MAX.text, "aria-describedby": "text-fault", on: { input: (event) => { value.text = event.target.value; draft.changed(); } } });
  area.value = value.text;
  const contact = someOf({
    id: "contact", legend: say("note.contact_legend"), options: [{ value: "yes", label: say("note.contact") }],
    values: value.wants_contact ? ["yes"] : [], pick: (told) => { value.wants_contact = told.length > 0; draft.changed(); },
  });
  const root = h("form", { class: "form", novalidate: true }, list.element,
    h("p", { class: "card notice" }, say("note.not_urgent")), closedCard(facts),
    h("div", { class: "field" }, h("label", { for: "text" }, say("note.text")), h("p", { class: "fault", id: "text-fault", hidden: true }), area), contact, lastNotes(facts));
  const save = async () => {
    const payload = { text: cleanText(value.text), wants_contact: value.wants_contact };
    const found = payload.text ? [] : [{ id: "text", words: say("note.fault") }];
    list.show(found, root);
    if (found.length) return;
    const saved = await saveEntry(app, { id: value.id, kind: "note_to_clinic", payload, place: placeOf(facts, {}), draftKey: draft.key });
    if (saved) app.go("#next");
    else draft.changed();
  };
  return { title: say("note.title"), area: "next", body: root, action: button(say("note.save"), app.once(save), { class: "button primary" }) };
}
