// Which language this phone speaks, and its words: as its owner chose, else as
// the browser, else English. Only that one language is loaded; the worker holds
// the others for a change without a network.
import { useWords } from "../model/strings.js";

const OTHERWISE = "en";

// The page names the file of every language there is.
const files = () => new Map([...document.querySelectorAll('meta[name^="words-"]')]
  .map(({ name, content }) => [name.slice("words-".length), content]));

export const languages = () => [...files().keys()];

export function languageOf(chosen) {
  const wanted = [chosen, ...navigator.languages.map((one) => one.split("-")[0])];
  return wanted.find((one) => files().has(one)) ?? OTHERWISE;
}

async function wordsOf(language) {
  const response = await fetch(files().get(language), { credentials: "omit" });
  if (!response.ok) throw new Error(`no words: ${response.status}`);
  return response.json();
}

export async function loadWords(chosen) {
  const told = await wordsOf(languageOf(chosen));
  useWords(told);
  Object.assign(document.documentElement, { lang: told.language, dir: told.dir });
}
