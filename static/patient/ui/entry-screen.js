// One entry: what was said, where it is, and the ways to put it right.
import { say } from "../model/strings.js";
import { h, link } from "./dom.js";
import { allLines, entryName, readWords, timeWords, whoWords } from "./entry-words.js";
import { photoLink } from "./photo-screen.js";
import { ageWords, stateWords } from "./sent-line.js";

const CHANGEABLE = new Set(["bout", "skin_check", "not_done", "morning_check"]);

const list = (lines) => h("ul", { class: "facts" }, lines.map((line) => h("li", {}, line)));

function history(entry) {
  if (!entry.changes.length) return null;
  const first = { ...entry, payload: entry.first_payload };
  return h("section", { class: "card" }, h("h2", {}, say("entry.first")), list(allLines(first)),
    entry.changes.map(({ kind, payload, ...change }) => h("p", { class: "hint" }, say(`entry.${kind}`, { reason: payload.reason }), " ", stateWords(change))));
}

// The clinic's reason by its code; its message is for the desk.
const WHY_HELD = {
  kind_unknown: "newer", schema_unknown: "newer", other_phone: "phone", phone_replaced: "phone", id_taken: "twice", number_taken: "twice",
  episode_unknown: "program", episode_missing: "program", revision_unknown: "program", revision_missing: "program",
};

function heldReason({ state, reason }) {
  if (state !== "held") return null;
  return h("p", { class: "card notice" }, say("entry.held"), " ", say(`held.${WHY_HELD[reason?.code] ?? "damaged"}`));
}

function ways(entry, photos) {
  const fixed = entry.withdrawn || !entry.own || entry.kind === "unreadable";
  if (fixed && !photos) return null;
  return h("section", { class: "others" }, photos,
    !fixed && CHANGEABLE.has(entry.kind) ? link(say("entry.change"), `#change/${entry.id}`) : null,
    fixed ? null : link(say("entry.withdraw"), `#withdraw/${entry.id}`));
}

export async function entryScreen(app, [id]) {
  const facts = await app.facts();
  const entry = facts.entries.find((one) => one.id === id);
  if (!entry) return app.go("#so-far");
  const program = facts.programs.find(({ episode }) => episode.id === entry.episode_id);
  const limb = program ? say("limb.name", { limb: say(`limb.${program.episode.limb}`) }) : null;
  const photos = await photoLink(app, facts, entry);
  const age = entry.own ? ageWords(facts.now_ms - entry.saved_ms) : null;
  return {
    title: entryName(entry), area: "so_far", live: true,
    body: [
      h("p", { class: "lead" }, [say.day(entry.for_date), timeWords(entry), limb].filter(Boolean).join(", ")),
      entry.withdrawn ? h("p", { class: "card notice" }, say("entry.withdrawn")) : null,
      heldReason(entry),
      h("section", { class: "card" }, list(allLines(entry)), h("p", { class: "hint" }, whoWords(entry))),
      h("p", { class: "sent", "data-state": entry.state === "confirmed" ? "clinic" : "phone" }, [stateWords(entry), age].filter(Boolean).join(" ")),
      entry.kind === "note_to_clinic" ? h("p", {}, readWords(entry)) : null,
      history(entry), ways(entry, photos),
    ],
  };
}
