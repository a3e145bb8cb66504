// As much of a document as a form or a picture needs, and the words on it.
import { readFileSync } from "node:fs";
import { useWords } from "../../static/patient/model/strings.js";

class Part extends EventTarget {
  attributes = {};
  parts = [];
  #value = null;

  constructor(name) {
    super();
    this.name = name;
  }

  get firstChild() { return this.parts[0] ?? null; }
  get textContent() { return this.parts.map((one) => one.textContent ?? one).join(""); }
  set textContent(words) { this.parts = [words]; }
  get value() { return this.#value ?? this.attributes.value ?? ""; }
  set value(told) { this.#value = String(told ?? ""); }

  append(...parts) { this.parts.push(...parts); }
  replaceChildren(...parts) { this.parts = parts; }
  setAttribute(key, value) { this.attributes[key] = String(value); }

  // Every part inside, this one first.
  get all() { return [this, ...this.parts.flatMap((one) => one.all ?? [])]; }
  byId(id) { return this.all.find(({ attributes }) => attributes.id === id) ?? null; }
  type(text) { this.value = text; this.dispatchEvent(new Event("input")); }
  tap() { this.dispatchEvent(new Event("click")); }
}

export function makePage() {
  useWords(JSON.parse(readFileSync(new URL("../../static/patient/words/en.json", import.meta.url), "utf8")));
  globalThis.document = { createElement: (name) => new Part(name), createElementNS: (_, name) => new Part(name) };
}

export function partOf(...parts) {
  const root = new Part("div");
  root.append(...parts.flat(9).filter(Boolean));
  return root;
}
