// A question with its answers as large boxes; one answer or several. Nothing
// is ever chosen beforehand unless the caller says so.
import { h } from "./dom.js";

let count = 0;

function box({ name, type, option, checked, pick }) {
  const id = `${name}-${(count += 1)}`;
  return h("label", { class: "box", for: id },
    h("input", { type, id, name, value: String(option.value), checked, on: { change: pick } }),
    option.drawing ?? null,
    h("span", { class: "box-words" }, option.label, option.hint ? h("small", {}, option.hint) : null));
}

function question({ id, legend, hint, kind }, boxes) {
  return h("fieldset", { id, class: `question ${kind}`, tabindex: "-1" },
    h("legend", {}, legend),
    hint ? h("p", { class: "hint" }, hint) : null,
    h("p", { class: "fault", id: `${id}-fault`, hidden: true }),
    h("div", { class: "boxes" }, boxes));
}

export function oneOf({ id, legend, hint, options, value = null, pick, kind = "rows" }) {
  const name = `${id}-${(count += 1)}`;
  return question({ id, legend, hint, kind }, options.map((option) => box({
    name, option, type: "radio", checked: option.value === value, pick: () => pick(option.value),
  })));
}

export function someOf({ id, legend, hint, options, values = [], pick, kind = "rows" }) {
  const chosen = new Set(values);
  const change = (option) => (event) => {
    chosen[event.target.checked ? "add" : "delete"](option.value);
    pick(options.map(({ value }) => value).filter((one) => chosen.has(one)));
  };
  return question({ id, legend, hint, kind }, options.map((option) => box({
    name: `${id}-${(count += 1)}`, option, type: "checkbox", checked: chosen.has(option.value), pick: change(option),
  })));
}

// 0 to 10 with its end words.
export function scale({ id, legend, low, high, value, pick }) {
  const options = Array.from({ length: 11 }, (_, at) => ({ value: at, label: String(at) }));
  const field = oneOf({ id, legend, options, value, pick, kind: "scale" });
  field.append(h("p", { class: "scale-ends" }, h("span", {}, low), h("span", {}, high)));
  return field;
}
