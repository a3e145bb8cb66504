// An entry in words: its name, its one line, and all that was said.
import { checkGrade } from "../model/skin.js";
import { say } from "../model/strings.js";

const kindName = ({ kind, payload }) => say(kind === "skin_check" ? `kind.skin_${payload.moment}` : `kind.${kind}`);

const LINES = {
  bout: ({ contractions, minutes, discomfort }) => say("line.bout", { contractions, minutes, discomfort }),
  skin_check: (payload) => say(`skin.word_${checkGrade(payload)}`),
  not_done: ({ reason }) => say(`reason.${reason}`),
  morning_check: ({ knee_pain, swelling }) => say("line.morning", { knee_pain, swelling: say(`swelling.${swelling}`) }),
  stop_report: ({ symptoms }) => symptoms.map((code) => say(`symptom.${code}`)).join(", "),
  note_to_clinic: ({ text }) => text,
  unreadable: () => say("line.unreadable"),
};

export const entryName = kindName;

export const entryLine = ({ kind, payload }) => LINES[kind](payload);

const boutLines = (payload) => [
  say("line.started", { from: payload.started_at.slice(11) }),
  ...payload.intensity.map(({ channel, value, unit }) => say("line.intensity", { channel, value, unit: say(`unit.${unit}`) })),
  say("line.discomfort", { value: payload.discomfort }),
  say("line.knee_pain_before", { value: payload.knee_pain_before }),
  say("line.knee_pain_after", { value: payload.knee_pain_after }),
  ...(payload.ended_early ? [say("line.ended_early", { reason: say(`early.${payload.ended_early}`) })] : []),
  ...(payload.note ? [payload.note] : []),
];

function padLine({ pad, facts }, number) {
  const told = ["raised", "itchy", "sore", "broken"].filter((name) => facts[name]).map((name) => say(`skin.short_${name}`));
  const pattern = facts.pattern ? [say(`skin.pattern_${facts.pattern}`)] : [];
  return `${say("skin.pad", { number, place: say(`pad.${pad}`) })}: ${[say(`skin.colour_${facts.colour}`), ...pattern, ...told].join(", ")}`;
}

export function allLines({ kind, payload }) {
  if (kind === "bout") return [entryLine({ kind, payload }), ...boutLines(payload)];
  if (kind === "skin_check") return payload.pads.map((one, at) => padLine(one, at + 1));
  return [entryLine({ kind, payload })];
}

// The clock time it was told at; of a damaged entry only the day is known.
export const timeWords = ({ kind, local_time }) => (kind === "unreadable" ? null : local_time.slice(11, 16));

// Whether somebody at the clinic says that they read a note.
export const readWords = ({ read_on }) => (read_on ? say("note.read_on", { day: say.day(read_on) }) : say("note.not_read"));

export function whoWords({ logged_by }) {
  if (!logged_by) return "";
  return logged_by.who === "helper" ? say("who.helper_logs", { name: logged_by.name }) : say("who.you_log");
}
