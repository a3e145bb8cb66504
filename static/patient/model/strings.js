// The words a patient sees, in the language of this phone. They stand by key in
// homeprogram/locale/en/LC_MESSAGES/django.po; `manage.py words` makes the files
// that `useWords` is given.

const DAY = { weekday: "short", day: "numeric", month: "short", timeZone: "UTC" };
// How days are written: the number before the month, in any country of the language.
const REGION = { en: "en-GB", es: "es-419" };
const CATEGORIES = ["zero", "one", "two", "few", "many", "other"];

let said = {};
let days = null;
let plurals = null;
let known = [];

// `told` is {language, dir, words} of one language.
export function useWords({ language, words }) {
  said = words;
  say.language = language;
  const region = REGION[language] ?? language;
  days = () => {
    const format = new Intl.DateTimeFormat(region, DAY); // slow to make: not before a day is shown
    days = () => format;
    return format;
  };
  plurals = new Intl.PluralRules(region);
  known = CATEGORIES.filter((name) => plurals.resolvedOptions().pluralCategories.includes(name));
}

// Words with forms for one and for more are picked by `count`.
function formOf(forms, count) {
  const at = known.indexOf(plurals.select(Number(count)));
  return forms[Math.min(at, forms.length - 1)];
}

// The words for a key with its values filled in; an unknown key is a bug.
export function say(key, values = {}) {
  const words = said[key];
  if (words === undefined) throw new Error(`no words for ${key}`);
  const form = Array.isArray(words) ? formOf(words, values.count) : words;
  return form.replace(/\{(\w+)\}/g, (_, name) => String(values[name]));
}

// A code from a newer clinic may have no words here yet.
say.knows = (key) => said[key] !== undefined;

say.day = (day) => days().format(new Date(`${day}T12:00:00Z`)).replace(",", "");
