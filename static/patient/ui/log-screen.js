// The log of one bout, today's or yesterday's.
import { faults as payloadFaults } from "../model/check.js";
import { effectiveRevision } from "../model/plan.js";
import { startLow } from "../model/start-low.js";
import { say } from "../model/strings.js";
import { answersFromPlan, payloadOf } from "./bout-answers.js";
import { BoutForm } from "./bout-form.js";
import { button, h } from "./dom.js";
import { openDraft } from "./draft.js";
import { FaultList } from "./fault-list.js";
import { placeOf, saveEntry } from "./saving.js";
import { whoLogs } from "./who-logs.js";

// A bout that was followed has its own draft and is of the day it began on, also
// past midnight; one told afterwards has another.
async function formOf(app, { facts, view, episode, day }) {
  const followed = day ? null : await app.store.drafts.get(`bout:${episode}`);
  const on = followed?.answers ? followed.day : day ?? facts.day;
  const revision = effectiveRevision(view.program, on);
  if (!revision) return {};
  if (followed?.answers) return { revision, draft: await openDraft(app, `bout:${episode}`, () => followed) };
  const fresh = () => ({ bout_id: app.store.entries.newId(), day: on, answers: answersFromPlan(revision, app.clock.reading(), on) });
  return { revision, draft: await openDraft(app, `log:${episode}:${on}`, fresh) };
}

export async function logScreen(app, [episode, day]) {
  const { facts, view } = await app.one(episode);
  if (!view) return app.go("#next");
  const { draft, revision } = await formOf(app, { facts, view, episode, day });
  if (!revision) return app.go("#next");
  const { value } = draft;
  const asksBefore = !draft.key.startsWith("bout:");
  const list = new FaultList();
  const { last } = startLow(facts, view.program, revision);
  const form = new BoutForm({ value: value.answers, revision, last, changed: draft.changed, asksBefore });
  const root = h("form", { class: "form", novalidate: true }, list.element,
    value.count ? h("p", { class: "lead" }, say("do.turn_off")) : null, form.elements(), whoLogs(app, facts.meta));
  const save = async () => {
    const found = form.faults();
    list.show(found, root);
    const payload = payloadOf(value.answers, revision);
    if (found.length || payloadFaults("bout", payload).length) return;
    const place = placeOf(facts, { episode, revision: revision.id, forDate: value.day });
    const saved = await saveEntry(app, { id: value.bout_id, kind: "bout", payload, place, draftKey: draft.key });
    if (saved) app.go(value.day === facts.day ? `#after/${episode}` : "#next");
    else draft.changed();
  };
  const limb = say(`limb.${view.limb}`);
  return {
    title: value.day === facts.day ? say("log.title", { limb }) : say("log.title_day", { limb, day: say.day(value.day) }),
    area: "next", body: root, action: button(say("log.save"), app.once(save), { class: "button primary" }),
  };
}
