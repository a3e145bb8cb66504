// Elements without markup strings: text is always text, never HTML.

const SVG = "http://www.w3.org/2000/svg";
const PROPERTIES = new Set(["checked", "disabled", "hidden", "required", "open"]);

function dress(element, attrs) {
  for (const [name, value] of Object.entries(attrs)) {
    if (value === null || value === undefined || value === false) continue;
    if (name === "on") for (const [event, act] of Object.entries(value)) element.addEventListener(event, act);
    else if (PROPERTIES.has(name)) element[name] = value;
    else element.setAttribute(name, value === true ? "" : value);
  }
}

function fill(element, children) {
  for (const child of children.flat(Infinity)) {
    if (child === null || child === undefined || child === false) continue;
    element.append(child);
  }
  return element;
}

export function h(tag, attrs = {}, ...children) {
  const element = document.createElement(tag);
  dress(element, attrs);
  return fill(element, children);
}

export function s(tag, attrs = {}, ...children) {
  const element = document.createElementNS(SVG, tag);
  dress(element, attrs);
  return fill(element, children);
}

export function swap(place, ...children) {
  place.replaceChildren();
  return fill(place, children);
}

export const button = (label, act, attrs = {}) =>
  h("button", { type: "button", class: "button", ...attrs, on: { click: act } }, label);

export const link = (label, href, attrs = {}) => h("a", { href, class: "button", ...attrs }, label);
