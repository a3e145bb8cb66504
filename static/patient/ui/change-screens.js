// Put an entry right or take it back. Both are entries of their own; the
// clinic sees the old words too.
import { effectiveRevision } from "../model/plan.js";
import { asksToAct } from "../model/morning.js";
import { HOLDING_GRADE, checkGrade } from "../model/skin.js";
import { say } from "../model/strings.js";
import { answersFromPayload, momentsFor, payloadOf } from "./bout-answers.js";
import { BoutForm } from "./bout-form.js";
import { morningFaults, morningQuestions } from "./check-screens.js";
import { oneOf } from "./choice.js";
import { button, h } from "./dom.js";
import { openDraft } from "./draft.js";
import { entryLine, entryName } from "./entry-words.js";
import { FaultList } from "./fault-list.js";
import { reasonQuestion } from "./not-done-screen.js";
import { placeOf, saveEntry } from "./saving.js";
import { SkinForm, unanswered } from "./skin-form.js";

const WHY = ["number", "day", "twice", "looked_again", "other"];

const whyQuestion = (value, changed, legend = "change.why") => oneOf({
  id: "why", legend: say(legend), value: value.why,
  options: WHY.map((code) => ({ value: code, label: say(`why.${code}`) })),
  pick: (told) => { value.why = told; changed(); },
});

const whyFault = (value) => (value.why ? [] : [{ id: "why", words: say("change.fault_why") }]);

// Each kind's form as {parts, faults(), payload()}.
const FORMS = {
  bout(entry, value, changed, revision, app) {
    value.answers ??= answersFromPayload(entry.payload);
    const form = new BoutForm({ value: value.answers, moment: momentsFor(app, value.answers, entry.for_date), revision, last: null, changed, asksBefore: true });
    return { parts: form.elements(), faults: () => form.faults(), payload: () => payloadOf(value.answers, revision) };
  },
  skin_check(entry, value, changed) {
    value.skin ??= unanswered();
    const pads = entry.payload.pads.map(({ pad }) => pad);
    const form = new SkinForm({ pads, answers: value.skin, changed });
    return { parts: form.element, faults: () => form.faults(), payload: () => ({ ...entry.payload, pads: form.payloadPads() }) };
  },
  not_done(entry, value, changed) {
    value.reason ??= entry.payload.reason;
    return { parts: reasonQuestion(value, changed), faults: () => [], payload: () => ({ ...entry.payload, reason: value.reason }) };
  },
  morning_check(entry, value, changed) {
    value.answers ??= { ...entry.payload };
    return { parts: morningQuestions(value.answers, changed), faults: () => morningFaults(value.answers), payload: () => ({ ...value.answers }) };
  },
};

async function opened(app, id) {
  const facts = await app.facts();
  const entry = facts.entries.find((one) => one.id === id && one.own && !one.withdrawn);
  const program = facts.programs.find(({ episode }) => episode.id === entry?.episode_id);
  const place = entry && placeOf(facts, { episode: entry.episode_id, revision: entry.revision_id, forDate: entry.for_date });
  return { facts, entry, program, place };
}

function revisionFor(program, entry) {
  return program?.revisions.find(({ id }) => id === entry.revision_id) ?? (program && effectiveRevision(program, entry.for_date));
}

// Worse skin than first told is a new check, so that it holds as any check does.
function changeOf(entry, payload, why) {
  const worse = entry.kind === "skin_check" && checkGrade(payload) >= HOLDING_GRADE;
  return worse ? { kind: "skin_check", payload } : { kind: "correction", payload: { of: entry.id, payload, reason: say(`why.${why}`) } };
}

export async function changeScreen(app, [id]) {
  const { entry, program, place } = await opened(app, id);
  const revision = entry && revisionFor(program, entry);
  if (!entry || !FORMS[entry.kind] || (entry.kind === "bout" && !revision)) return app.go("#so-far");
  const draft = await openDraft(app, `change:${id}`, () => ({ id: app.store.entries.newId(), why: null }));
  const { value } = draft;
  const form = FORMS[entry.kind](entry, value, draft.changed, revision, app);
  const list = new FaultList();
  const root = h("form", { class: "form", novalidate: true }, list.element,
    h("p", { class: "hint" }, say("change.kept")), form.parts, whyQuestion(value, draft.changed));
  const save = async () => {
    const found = [...form.faults(), ...whyFault(value)];
    list.show(found, root);
    if (found.length) return;
    const payload = form.payload();
    const change = changeOf(entry, payload, value.why);
    const saved = await saveEntry(app, { id: value.id, ...change, place, draftKey: draft.key });
    if (!saved) draft.changed();
    else app.go(asksToAct(payload) ? `#skin-told/${entry.episode_id}/${change.kind === "skin_check" ? value.id : id}` : `#entry/${id}`);
  };
  return { title: say("change.title", { what: entryName(entry) }), area: "so_far", body: root, action: button(say("change.save"), app.once(save), { class: "button primary" }) };
}

export async function withdrawScreen(app, [id]) {
  const { entry, place } = await opened(app, id);
  if (!entry) return app.go("#so-far");
  const draft = await openDraft(app, `withdraw:${id}`, () => ({ id: app.store.entries.newId(), why: null }));
  const { value } = draft;
  const list = new FaultList();
  const root = h("form", { class: "form", novalidate: true }, list.element,
    h("section", { class: "card" }, h("h2", {}, entryName(entry)), h("p", {}, entryLine(entry))),
    h("p", { class: "hint" }, say("change.kept")), whyQuestion(value, draft.changed, "withdraw.why"));
  const save = async () => {
    const found = whyFault(value);
    list.show(found, root);
    if (found.length) return;
    const payload = { of: id, reason: say(`why.${value.why}`) };
    if (await saveEntry(app, { id: value.id, kind: "withdrawal", payload, place, draftKey: draft.key })) app.go(`#entry/${id}`);
    else draft.changed();
  };
  return { title: say("withdraw.title"), area: "so_far", body: root, action: button(say("withdraw.save"), app.once(save), { class: "button primary" }) };
}
