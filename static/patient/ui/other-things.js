// What else a patient may want, below the next step.
import { addDays, closesAt } from "../model/day.js";
import { say } from "../model/strings.js";
import { dayView } from "../model/today.js";
import { h, link } from "./dom.js";

const OPEN = ["still_open", "partly_done"];

export function otherThings(facts, { program, revision, next }, othersToo) {
  const id = program.episode.id;
  const yesterday = addDays(facts.day, -1);
  const late = facts.now < closesAt(yesterday) && OPEN.includes(dayView(facts, program, yesterday).status);
  return h("section", { class: "others" },
    h("h2", {}, say("others.title")),
    revision ? link(say("others.log_today"), `#log/${id}/${facts.day}`) : null,
    revision && late ? link(say("others.log_yesterday"), `#log/${id}/${yesterday}`) : null,
    next.due ? link(say("others.not_done"), `#not-done/${id}`) : null,
    revision ? link(say("others.pads"), `#pads/${id}`) : null,
    link(say("others.changed"), "#changed"),
    link(say("others.note"), "#note"),
    othersToo ? link(say("others.other_leg"), "#next") : null);
}
