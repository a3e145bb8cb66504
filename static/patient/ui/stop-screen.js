// Stop report: one tap away everywhere. What is told decides whom to call.
import { SYMPTOMS, SYMPTOMS_BY_ROUTE, routeOf } from "../model/routes.js";
import { say } from "../model/strings.js";
import { oneOf, someOf } from "./choice.js";
import { button, h, swap } from "./dom.js";
import { openHourlyDraft } from "./draft.js";
import { FaultList } from "./fault-list.js";
import { placeOf, saveEntry } from "./saving.js";
import { emergencyLine } from "./told-screens.js";

function limbQuestion(programs, value, changed) {
  const options = [...programs.map(({ episode }) => ({ value: episode.id, label: say("limb.name", { limb: say(`limb.${episode.limb}`) }) })), { value: "none", label: say("stop.no_leg") }];
  return oneOf({ id: "which-leg", legend: say("stop.which_leg"), options, value: value.episode, pick: (told) => { value.episode = told; changed(); } });
}

function symptomGroups(value, changed) {
  return Object.entries(SYMPTOMS_BY_ROUTE).map(([route, codes]) => someOf({
    id: `symptoms-${route}`, legend: say(`stop.group_${route}`),
    options: codes.map((code) => ({ value: code, label: say(`symptom.${code}`) })),
    values: value.symptoms,
    pick: (told) => {
      const others = value.symptoms.filter((code) => !codes.includes(code));
      value.symptoms = SYMPTOMS.filter((code) => [...others, ...told].includes(code));
      changed();
    },
  }));
}

// Nothing can be sent from a phone the clinic does not know; the advice stands.
function unpairedStop(texts) {
  const routes = Object.entries(SYMPTOMS_BY_ROUTE).map(([route, codes]) =>
    h("section", { class: "card" }, h("h2", {}, say(`stop.group_${route}`)), h("p", {}, codes.map((code) => say(`symptom.${code}`)).join(", "))));
  return { title: say("stop.title"), area: "next", body: [h("p", { class: "lead" }, say("stop.not_paired")), emergencyLine(texts), routes] };
}

export async function stopScreen(app) {
  const facts = await app.facts();
  const { programs, texts } = facts;
  const draft = await openHourlyDraft(app, "stop", () => ({ begun_ms: app.clock.now(), id: app.store.entries.newId(), symptoms: [], episode: null }));
  const { value } = draft;
  const two = programs.length > 1;
  const now = h("div");
  const urgent = () => swap(now, routeOf(value.symptoms) === "emergency" ? h("div", { class: "card alarm-card" }, emergencyLine(texts)) : null);
  const changed = () => { draft.changed(); urgent(); };
  const list = new FaultList();
  const root = h("form", { class: "form", novalidate: true }, list.element,
    h("p", { class: "lead" }, say("stop.lead")), emergencyLine(texts), symptomGroups(value, changed), two ? limbQuestion(programs, value, changed) : null, now);
  urgent();
  const save = async () => {
    const found = [
      ...(value.symptoms.length ? [] : [{ id: "symptoms-emergency", words: say("stop.fault") }]),
      ...(two && !value.episode ? [{ id: "which-leg", words: say("stop.fault_leg") }] : []),
    ];
    list.show(found, root);
    if (found.length) return;
    const named = two ? value.episode : programs[0]?.episode.id;
    const place = placeOf(facts, { episode: named === "none" ? null : named });
    const saved = await saveEntry(app, { id: value.id, kind: "stop_report", payload: { symptoms: value.symptoms }, place, draftKey: draft.key });
    if (saved) app.go(`#stop-told/${value.id}`);
    else draft.changed();
  };
  if (!facts.meta.phone_id) return unpairedStop(texts);
  return { title: say("stop.title"), area: "next", body: root, action: button(say("stop.save"), app.once(save), { class: "button primary alarm" }) };
}
