// What else a patient may want, below the next step.
import { say } from "../model/strings.js";
import { yesterdayToLog } from "../model/today.js";
import { h, link } from "./dom.js";

export function otherThings(facts, { program, revision, next }, othersToo) {
  const id = program.episode.id;
  const yesterday = yesterdayToLog(facts, program);
  return h("section", { class: "others" },
    h("h2", {}, say("others.title")),
    revision ? link(say("others.log_today"), `#log/${id}/${facts.day}`) : null,
    revision && yesterday ? link(say("others.log_yesterday"), `#log/${id}/${yesterday}`) : null,
    next.due ? link(say("others.not_done"), `#not-done/${id}`) : null,
    revision ? link(say("others.pads"), `#pads/${id}`) : null,
    link(say("others.changed"), "#changed"),
    link(say("others.note"), "#note"),
    othersToo ? link(say("others.other_leg"), "#next") : null);
}
