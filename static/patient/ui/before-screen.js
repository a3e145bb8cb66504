// Before the bout: look at the skin, say how the knee feels.
import { faults as payloadFaults } from "../model/check.js";
import { asksToAct } from "../model/morning.js";
import { HOLDING_GRADE, checkGrade, restsTheSpot } from "../model/skin.js";
import { say } from "../model/strings.js";
import { scale } from "./choice.js";
import { button, h } from "./dom.js";
import { openHourlyDraft } from "./draft.js";
import { FaultList } from "./fault-list.js";
import { padCard } from "./bout-card.js";
import { placeOf, saveEntry } from "./saving.js";
import { SkinForm, unanswered } from "./skin-form.js";

const fresh = (app, day) => ({
  bout_id: app.store.entries.newId(), check_id: app.store.entries.newId(), day, begun_ms: app.clock.now(),
  step: "before", skin: unanswered(), knee_pain_before: null,
});

function stops(payload) {
  return restsTheSpot(payload) || checkGrade(payload) >= HOLDING_GRADE;
}

async function goOn(app, { facts, view, draft, payload }) {
  const { program, revision } = view;
  const place = placeOf(facts, { episode: program.episode.id, revision: revision.id, forDate: draft.value.day });
  const stored = await saveEntry(app, { id: draft.value.check_id, kind: "skin_check", payload, place });
  if (!stored) return;
  // A store that gives no answer to the rest keeps nobody here: the entry is kept.
  const anyway = (written) => written.catch(() => {});
  const sore = asksToAct({ knee_pain: draft.value.knee_pain_before });
  const told = sore || asksToAct(payload);
  if (told) draft.value.looked = stored; // it goes on from there, if at all
  else draft.value.step = "do";
  await anyway(stops(payload) ? draft.drop() : draft.write());
  app.go(told ? `#skin-told/${program.episode.id}/${stored}${sore ? "/sore" : ""}` : `#do/${program.episode.id}`);
}

export async function beforeScreen(app, [episode]) {
  const { facts, view } = await app.one(episode);
  if (!view?.revision || view.holds.length) return app.go("#next");
  const draft = await openHourlyDraft(app, `bout:${episode}`, () => fresh(app, facts.day));
  if (draft.value.step !== "before") return app.go(`#resume/${episode}`);
  const list = new FaultList();
  const skin = new SkinForm({ pads: view.revision.pads, answers: draft.value.skin, changed: draft.changed });
  const pain = scale({
    id: "knee_pain_before", legend: say("morning.knee_pain"), low: say("scale.low"), high: say("scale.pain_high"),
    value: draft.value.knee_pain_before, pick: (told) => { draft.value.knee_pain_before = told; draft.changed(); },
  });
  const root = h("form", { class: "form", novalidate: true }, list.element,
    skin.element, pain, padCard(view.limb, view.revision));
  const save = async () => {
    const missing = draft.value.knee_pain_before === null ? [{ id: "knee_pain_before", words: say("morning.fault_knee_pain") }] : [];
    const found = [...skin.faults(), ...missing];
    list.show(found, root);
    const payload = { bout_id: draft.value.bout_id, moment: "before", pads: skin.payloadPads() };
    if (!found.length && !payloadFaults("skin_check", payload).length) await goOn(app, { facts, view, draft, payload });
  };
  return {
    title: say("before.title", { limb: say(`limb.${view.limb}`) }), area: "next",
    body: root, action: button(say("before.go"), app.once(save), { class: "button primary" }),
  };
}
