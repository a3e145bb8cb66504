// What the clinic has not confirmed yet, oldest first.
import { say } from "../model/strings.js";
import { h } from "./dom.js";
import { entryName, timeWords } from "./entry-words.js";
import { copyButton } from "./export.js";
import { ageWords, sentLine } from "./sent-line.js";

export async function waitingScreen(app) {
  const facts = await app.facts();
  const item = (entry) => h("li", {}, h("strong", {}, entryName(entry)), " ",
    [say.day(entry.for_date), timeWords(entry)].filter(Boolean).join(", "), ". ", ageWords(facts.now_ms - entry.saved_ms));
  return {
    title: say("waiting.title"), area: "call", live: true,
    body: [sentLine(facts), h("ol", { class: "facts" }, facts.unsent.map(item)), facts.waiting ? copyButton(app) : null],
  };
}
