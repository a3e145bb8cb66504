// To choose the language: each by its own name, so that nobody has to read
// another one to find it.
import { say } from "../model/strings.js";
import { oneOf } from "./choice.js";
import { button, h } from "./dom.js";
import { languages } from "./words.js";

function endonym(code) {
  const name = new Intl.DisplayNames(code, { type: "language" }).of(code);
  return h("span", { lang: code }, name.charAt(0).toLocaleUpperCase(code) + name.slice(1));
}

export function languageQuestion(app) {
  const options = languages().map((value) => ({ value, label: endonym(value) }));
  return oneOf({ id: "language", legend: say("settings.language"), options, value: say.language, pick: (code) => app.speak(code) });
}

// Where a phone is new: one tap, before anything has to be read.
export const otherLanguages = (app) => languages().filter((code) => code !== say.language)
  .map((code) => button(endonym(code), () => app.speak(code), { class: "as-link" }));
