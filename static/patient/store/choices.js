// How this phone's owner wants the app to be: small settings that no other
// phone hears of. Kept where a page can read them before it draws.

const KEY = "boutwise-choices";

// A choice that was never made; what is not named here is not a choice.
export const DEFAULTS = Object.freeze({ sound: true, vibration: true, text: "normal", contrast: "normal", language: null });

// Null as a default means: the phone decides, until its owner names one.
const fits = (value, otherwise) => (otherwise === null ? value === null || typeof value === "string" : typeof value === typeof otherwise);

const known = (values) => Object.fromEntries(Object.entries(values ?? {}).filter(([name, value]) =>
  Object.hasOwn(DEFAULTS, name) && fits(value, DEFAULTS[name])));

export class Choices {
  #storage;
  #values;

  // `storage` is like localStorage, or null where there is none: then a choice
  // lasts as long as the page.
  constructor(storage) {
    this.#storage = storage;
    this.#values = { ...DEFAULTS, ...this.#read() };
  }

  get(name) {
    return this.#values[name];
  }

  // Another tab may have chosen meanwhile; only what is named here changes.
  set(values) {
    this.#values = { ...this.#values, ...this.#read(), ...known(values) };
    try {
      this.#storage?.setItem(KEY, JSON.stringify(this.#values));
    } catch { /* A full or closed storage: the choice lasts as long as the page. */ }
  }

  #read() {
    try {
      return known(JSON.parse(this.#storage?.getItem(KEY) ?? "{}"));
    } catch {
      return {};
    }
  }
}
