// The log of one bout, today's or yesterday's.
import { faults as payloadFaults } from "../model/check.js";
import { countIn } from "../model/count.js";
import { dueBouts, effectiveRevision } from "../model/plan.js";
import { startLow } from "../model/start-low.js";
import { say } from "../model/strings.js";
import { entriesOf } from "../model/today.js";
import { answersFromPlan, momentsFor, payloadOf } from "./bout-answers.js";
import { BoutForm } from "./bout-form.js";
import { openBout } from "./broken-off.js";
import { button, h, swap } from "./dom.js";
import { openDraft } from "./draft.js";
import { FaultList } from "./fault-list.js";
import { placeOf, saveEntry } from "./saving.js";
import { whoLogs } from "./who-logs.js";

// A bout that was followed has its own draft and is of the day it began on, also
// past midnight; one told afterwards has another.
async function formOf(app, { facts, view, episode, day }) {
  const followed = await openBout(app, { facts, view });
  const { value } = followed.draft;
  const itself = !day || day === value.day;
  if (itself && value.step === "log") return followed;
  const on = day ?? facts.day;
  const revision = effectiveRevision(view.program, on);
  if (!revision) return { to: "#next" };
  // Ended there first, or it would be told twice.
  if (itself && countIn(value)) return { to: `#do/${episode}` };
  const fresh = () => ({ bout_id: app.store.entries.newId(), day: on, answers: answersFromPlan(revision, app.clock.reading(), on !== facts.day && on) });
  return { revision, draft: await openDraft(app, `log:${episode}:${on}`, fresh) };
}

// A bout of a former day goes by its patient's own word only.
function dropPart(app, draft) {
  const place = h("div");
  const drop = () => draft.drop().then(() => app.go("#next"), () => app.frame.tell(say("do.not_kept")));
  const sure = () => {
    swap(place, h("section", { class: "card notice stack" }, h("p", {}, say("log.drop_sure")), button(say("log.drop_yes"), app.once(drop))));
    place.querySelector("button").focus();
  };
  swap(place, button(say("log.drop"), sure, { class: "as-link" }));
  return place;
}

// Told before, not barred: there may have been one more.
function allLogged(facts, { program }, day) {
  const bouts = entriesOf(facts, program, day).filter(({ kind }) => kind === "bout").length;
  return bouts > 0 && bouts >= dueBouts(program, day);
}

export async function logScreen(app, [episode, day]) {
  const { facts, view } = await app.one(episode);
  if (!view) return app.go("#next");
  const { draft, revision, to } = await formOf(app, { facts, view, episode, day });
  if (to || !revision) return app.go(to ?? "#next");
  const { value } = draft;
  const asksBefore = !draft.key.startsWith("bout:");
  const late = value.day !== facts.day;
  const list = new FaultList();
  const { last } = startLow(facts, view.program, revision);
  const form = new BoutForm({ value: value.answers, moment: momentsFor(app, value.answers, value.day), revision, last, changed: draft.changed, asksBefore });
  const root = h("form", { class: "form", novalidate: true }, list.element,
    value.count && !late ? h("p", { class: "lead" }, say("do.turn_off")) : null,
    asksBefore && allLogged(facts, view, value.day) ? h("p", { class: "card notice" }, say("log.already")) : null,
    form.elements(), whoLogs(app, facts.meta), asksBefore || !late ? null : dropPart(app, draft));
  const save = async () => {
    const found = form.faults();
    list.show(found, root);
    const payload = payloadOf(value.answers, revision);
    if (found.length || payloadFaults("bout", payload).length) return;
    const place = placeOf(facts, { episode, revision: revision.id, forDate: value.day });
    const saved = await saveEntry(app, { id: value.bout_id, kind: "bout", payload, place, draftKey: draft.key });
    // What it asks to do is told after its skin check, or at once where there is none.
    if (saved) app.go(late && asksBefore ? `#skin-told/${episode}/${saved}` : `#after/${episode}`);
    else draft.changed();
  };
  const limb = say(`limb.${view.limb}`);
  return {
    title: late ? say("log.title_day", { limb, day: say.day(value.day) }) : say("log.title", { limb }),
    area: "next", body: root, action: button(say("log.save"), app.once(save), { class: "button primary" }),
  };
}
