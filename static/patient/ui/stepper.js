// A number with large minus and plus. Empty until the patient says a value:
// the first tap takes `start`, so nobody counts up from zero by hand. At a limit
// "more" stops once and says so; what really was above it can still be told. What
// is typed is handed on as it stands: its form says if it cannot be.
import { say } from "../model/strings.js";
import { button, h } from "./dom.js";

const clamp = (value, low, high) => Math.min(high, Math.max(low, value));

const rounded = (value) => Math.round(value * 10) / 10;

export function stepper({ id, label, unit, value = null, start = 0, low = 0, high, step = 1, limit = null, pick }) {
  const input = h("input", {
    id, type: "number", inputmode: "decimal", min: low, max: high, step: "any", value: value ?? "",
    "aria-describedby": `${id}-fault`, autocomplete: "off",
  });
  const warning = h("p", { class: "hint warn", role: "status" });
  let warned = false;
  const told = () => (input.value === "" ? null : Number(input.value));
  const warn = (now) => {
    const over = limit !== null && now !== null && now > limit;
    warning.textContent = over ? say("log.over_ceiling", { ceiling: limit }) : warned ? say("log.at_ceiling", { ceiling: limit }) : "";
  };
  const take = (next) => { pick(next); warn(next); };
  const set = (next) => { warned = false; input.value = next; take(next); };
  const by = (change) => () => {
    const next = told() === null ? start : clamp(rounded(told() + change), low, high);
    const stops = limit !== null && change > 0 && next > limit && !warned && (told() ?? 0) <= limit;
    warned = stops;
    input.value = stops ? limit : next;
    take(stops ? limit : next);
  };
  // At each key: a phone that dies in the middle of a form has the number too.
  input.addEventListener("input", () => { warned = false; take(told()); });
  warn(value);
  const field = h("div", { class: "stepper" },
    h("label", { for: id }, label, unit ? h("span", { class: "unit" }, unit) : null),
    h("p", { class: "fault", id: `${id}-fault`, hidden: true }),
    h("div", { class: "stepper-row" },
      button("−", by(-step), { class: "button step", "aria-label": say("form.less", { what: label }) }),
      input,
      button("+", by(step), { class: "button step", "aria-label": say("form.more", { what: label }) })),
    warning);
  return { field, set };
}
