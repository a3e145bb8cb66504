// A number with large minus and plus. Empty until the patient says a value:
// the first tap takes `start`, so nobody counts up from zero by hand.
import { say } from "../model/strings.js";
import { button, h } from "./dom.js";

const clamp = (value, low, high) => Math.min(high, Math.max(low, value));

export function stepper({ id, label, unit, value = null, start = 0, low = 0, high, step = 1, pick }) {
  const input = h("input", {
    id, type: "number", inputmode: "decimal", min: low, max: high, step: "any", value: value ?? "",
    "aria-describedby": `${id}-fault`, autocomplete: "off",
  });
  const told = () => (input.value === "" ? null : Number(input.value));
  const set = (next) => { input.value = next; pick(next); };
  const by = (change) => () => set(told() === null ? start : clamp(Math.round((told() + change) * 10) / 10, low, high));
  input.addEventListener("change", () => pick(told() === null ? null : clamp(told(), low, high)));
  const field = h("div", { class: "stepper" },
    h("label", { for: id }, label, unit ? h("span", { class: "unit" }, unit) : null),
    h("p", { class: "fault", id: `${id}-fault`, hidden: true }),
    h("div", { class: "stepper-row" },
      button("−", by(-step), { class: "button step", "aria-label": say("form.less", { what: label }) }),
      input,
      button("+", by(step), { class: "button step", "aria-label": say("form.more", { what: label }) })));
  return { field, set };
}
