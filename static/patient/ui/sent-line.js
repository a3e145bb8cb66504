// Where the entries are, from receipts only, and since when.
import { say } from "../model/strings.js";
import { h } from "./dom.js";
import { icon } from "./shapes.js";

const MINUTE_MS = 60_000;
const DAY_MS = 86_400_000;
const TRIES = 3;

export function ageWords(ms) {
  const minutes = Math.floor(ms / MINUTE_MS);
  if (minutes < 2) return say("age.now");
  if (minutes < 90) return say("age.minutes", { count: minutes });
  if (minutes < 48 * 60) return say("age.hours", { count: Math.round(minutes / 60) });
  return say("age.days", { count: Math.round(minutes / 1440) });
}

export function heardWords(facts) {
  const { last_round_ms } = facts.meta;
  return last_round_ms ? say("sent.heard", { age: ageWords(facts.now_ms - last_round_ms) }) : say("sent.never_heard");
}

function prospect({ unsent, now_ms, vain }) {
  if (now_ms - unsent[0].saved_ms > DAY_MS) return ["old", "sent.go_online"];
  return vain >= TRIES ? ["tries", "sent.tries_again"] : ["phone", "sent.by_itself"];
}

// Calm while young; after some tries in vain it says so, after a day it asks
// to go online.
export function sentLine(facts) {
  if (facts.waiting === 0) {
    return h("p", { class: "sent", "data-state": "clinic" }, icon("clinic"), h("span", {}, say("sent.all"), " ", heardWords(facts)));
  }
  const [state, next] = prospect(facts);
  const count = facts.waiting;
  return h("p", { class: "sent", "data-state": state }, icon("phone"), h("span", {},
    say("sent.wait", { count }), " ", facts.meta.trouble ? null : say(next)));
}

export function stateWords(entry) {
  if (entry.state === "held") return say("state.held");
  return say(entry.state === "confirmed" ? "state.clinic" : "state.phone");
}
