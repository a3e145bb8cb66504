// So far: the last four weeks as rows of days, then the entries themselves.
import { lastDays, weekday } from "../model/day.js";
import { effectiveRevision } from "../model/plan.js";
import { dayView } from "../model/today.js";
import { say } from "../model/strings.js";
import { h } from "./dom.js";
import { entryLine, entryName, timeWords } from "./entry-words.js";
import { trendPart } from "./trends.js";
import { limbHeading } from "./limb-heading.js";
import { heardWords, sentLine, stateWords } from "./sent-line.js";
import { dayShape, icon } from "./shapes.js";

const DAYS = 28;

function weeksOf(days) {
  const weeks = [];
  for (const day of days) {
    if (!weeks.length || weekday(day.day) === 0) weeks.push([]);
    weeks.at(-1).push(day);
  }
  return weeks.reverse();
}

// "2 of 2" beside "Partly done" would be a riddle.
function countWords({ done_bouts: done, partial_bouts: part, due_bouts: due }) {
  return part ? say("day.bouts_part", { done, due, part }) : say("day.bouts", { done, due });
}

function dayItem({ day, status, row, bouts }, today) {
  const count = row.due_bouts || bouts ? countWords(row) : "";
  return h("li", { class: "day", "data-status": status },
    dayShape(status),
    h("span", { class: "day-name" }, day === today ? say("day.today") : say.day(day)),
    h("span", { class: "day-word" }, say(`status.${status}`)),
    h("span", { class: "day-count" }, count));
}

const sum = (week, pick) => week.reduce((total, day) => total + pick(day), 0);

function weekPart(week, today, first) {
  const done = sum(week, ({ row }) => Math.min(row.done_bouts, row.due_bouts));
  const due = sum(week, ({ row, day }) => (day <= today && !row.paused ? row.due_bouts : 0));
  return h("details", { class: "card week", open: first },
    h("summary", {}, h("strong", {}, first ? say("so_far.this_week") : say("so_far.week_of", { day: say.day(week[0].day) })), " ", say("so_far.done_of", { done, due })),
    h("ul", { class: "days" }, [...week].reverse().map((day) => dayItem(day, today))));
}

function programPart(facts, program, many) {
  const started = program.revisions.map(({ effective_from }) => effective_from).filter(Boolean).sort()[0];
  const lived = lastDays(facts.day, DAYS).filter((day) => started && day >= started);
  const days = lived.map((day) => dayView(facts, program, day));
  const weeks = weeksOf(days);
  const unknown = days.some(({ status }) => status === "not_known_yet");
  return h("section", { class: "stack" },
    many ? h("h2", { class: "limb" }, limbHeading(program.episode.limb)) : null,
    weeks.length ? weeks.map((week, at) => weekPart(week, facts.day, at === 0)) : h("p", {}, say("so_far.nothing")),
    unknown ? h("p", { class: "hint" }, h("strong", {}, say("status.not_known_yet")), ": ", say("status_means.not_known_yet")) : null,
    lived.length ? trendPart(facts, program, effectiveRevision(program, facts.day), lived) : null);
}

function entryItem(entry, limbs) {
  const when = [say.day(entry.for_date), timeWords(entry), limbs[entry.episode_id]].filter(Boolean).join(", ");
  return h("li", {}, h("a", { class: "entry", href: `#entry/${entry.id}`, "data-withdrawn": entry.withdrawn },
    h("strong", {}, entryName(entry)), h("span", {}, entryLine(entry)),
    h("small", {}, when, entry.changes.length ? ` · ${say(entry.withdrawn ? "entry.taken_back" : "entry.changed")}` : ""),
    h("small", { class: "where" }, icon(entry.state === "confirmed" ? "clinic" : entry.state === "held" ? "look" : "phone"), stateWords(entry))));
}

function entryList(facts) {
  const first = lastDays(facts.day, DAYS)[0];
  const limbs = facts.programs.length > 1 ? Object.fromEntries(facts.programs.map(({ episode }) => [episode.id, say(`limb.${episode.limb}`)])) : {};
  const shown = facts.entries.filter(({ for_date }) => for_date >= first)
    .sort((a, b) => (b.device_ms ?? 0) - (a.device_ms ?? 0)); // not by the wall: one night a year it tells an hour twice
  return h("details", { class: "card" },
    h("summary", {}, h("strong", {}, say("so_far.entries", { count: shown.length }))),
    h("ul", { class: "entries" }, shown.map((entry) => entryItem(entry, limbs))));
}

// Only what the clinic shared, in whole numbers.
function strengthPart({ strength, programs }) {
  const limbOf = (id) => programs.find(({ episode }) => episode.id === id)?.episode.limb;
  const shared = strength.filter(({ episode_id, lsi_pct }) => limbOf(episode_id) && lsi_pct !== null).sort((a, b) => b.on.localeCompare(a.on));
  if (!shared.length) return null;
  return h("section", { class: "card" }, h("h2", {}, say("strength.title")), h("ul", { class: "facts" }, shared.map(({ episode_id, lsi_pct, on }) =>
    h("li", {}, say("strength.line", { day: say.day(on), limb: say(`limb.${limbOf(episode_id)}`), count: lsi_pct })))));
}

export async function soFarScreen(app) {
  const facts = await app.facts();
  return {
    title: say("area.so_far"), area: "so_far", live: true,
    body: [
      sentLine(facts), facts.waiting ? h("p", { class: "hint" }, heardWords(facts)) : null,
      facts.programs.map((program) => programPart(facts, program, facts.programs.length > 1)),
      strengthPart(facts), entryList(facts),
      h("details", { class: "card" }, h("summary", {}, h("strong", {}, say("so_far.words"))),
        h("ul", { class: "legend" }, ["done", "partly_done", "not_done", "still_open", "missed", "not_known_yet", "paused", "not_due"].map((status) =>
          h("li", {}, dayShape(status), h("span", {}, h("strong", {}, say(`status.${status}`)), " ", say(`status_means.${status}`)))))),
    ],
  };
}
