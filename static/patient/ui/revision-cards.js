// A home program that changed, or will: from which day, and what, in plain words.
import { changeOn, differences } from "../model/differences.js";
import { say } from "../model/strings.js";
import { button, h } from "./dom.js";

const unitIn = ({ unit, ...values }) => (unit ? { ...values, unit: say(`unit.${unit}`) } : values);

const lines = (differs) => (differs.length
  ? h("ul", { class: "facts" }, differs.map(({ key, values }) => h("li", {}, say(key, unitIn(values)))))
  : null);

const reason = (revision) => (revision.reason ? h("p", { class: "hint" }, revision.reason) : null);

// A change that is to come; the clinic counts it from the day it knows that
// this phone has it.
export function comingCard(view) {
  if (!view?.coming || !view.revision) return null;
  const day = view.coming.effective_from ?? view.coming.first_day;
  return h("section", { class: "card notice" }, h("p", {}, h("strong", {}, say("notice.coming", { day: say.day(day) }))),
    lines(differences(view.revision, view.coming)), reason(view.coming));
}

// Until its patient says that it was seen.
export function changedCard(app, { meta }, view) {
  const change = view?.revision && view.step !== "ended" ? changeOn(view.program, view.day, meta.paired_at) : null;
  const { id } = view?.program ?? {};
  if (!change || meta.revisions_seen?.[id] === change.revision.id) return null;
  const seen = async () => {
    await app.store.meta.change("revisions_seen", (all) => ({ ...all, [id]: change.revision.id }));
    app.draw();
  };
  return h("section", { class: "card notice" }, h("p", {}, h("strong", {}, say("notice.changed", { day: say.day(change.revision.effective_from) }))),
    lines(change.differs), reason(change.revision), button(say("notice.changed_seen"), seen));
}
