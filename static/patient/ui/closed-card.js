// The clinic is closed today: until when, who answers, and the way at such times.
import { closedAt } from "../model/closed.js";
import { say } from "../model/strings.js";
import { h } from "./dom.js";

export function closedCard({ texts, now_ms }) {
  const closed = closedAt(texts, now_ms);
  if (!closed) return null;
  return h("section", { class: "card notice" }, h("h2", {}, say("closed.title")),
    closed.answers ? h("p", {}, say("closed.answers", { who: closed.answers })) : null,
    h("p", {}, say("closed.last", { day: say.day(closed.last_day) })),
    texts.out_of_hours ? h("p", {}, texts.out_of_hours) : null);
}
