// How the form's page says what the dose check answered.
import { listed, plain, plural } from "./pattern.js";

const DIGITS = { time: 4, short: 3, ratio: 3 };
export const UNKNOWN = "not known";

export function shown(value, kind) {
  if (value === null || value === undefined) return UNKNOWN;
  if (kind === "count") return String(value);
  const short = String(Number(value.toPrecision(DIGITS[kind])));
  return kind === "ratio" ? `1:${short}` : short;
}

export function lead(reply, request) {
  const time = (value) => shown(value, "time");
  return `${reply.contractions_per_bout} contractions a bout in ${time(reply.bout_min)} min `
    + `(${time(reply.stimulated_min_per_bout)} min with current), ${reply.contractions_per_day} contractions a day, `
    + `${reply.contractions_per_week} a week in ${plural(request.bouts_per_day * request.days_per_week, "bout")}.`;
}

// The same contractions with the ramps counted the other way. [min]
export function otherBoutMin(reply, request) {
  const ramps = request.ramp_up_s + request.ramp_down_s;
  if (!ramps) return null;
  const cycle = request.on_s + request.off_s + (request.ramps_inside_on ? ramps : 0);
  return (reply.contractions_per_bout * cycle) / 60;
}

// A value that can be but hardly ever is, and the slip that would explain it.
export function doubt(value, { label, unit, usual, possible, factors }) {
  const between = ([low, high], one) => one >= low && one <= high;
  if (value === null || between(usual, value) || !between(possible, value)) return null;
  for (const [factor, why] of factors) {
    const likely = Number((value * factor).toPrecision(4));
    if (between(usual, likely)) return { likely, why, sentence: `${label} ${plain(value)} ${unit}: did you mean ${plain(likely)} ${unit} (${why})?` };
  }
  return null;
}

export function tempoWords(number, [lift, hold, lower], onS) {
  const total = lift + hold + lower;
  const start = `Exercise ${number}: ${plain(lift)}-${plain(hold)}-${plain(lower)} takes ${plain(total)} s and`;
  if (total <= onS) return `${start} fits the ${plain(onS)} s on time.`;
  return `${start} does not fit the ${plain(onS)} s on time: ${plain(total - onS)} s would be without current.`;
}

export function voidWords(changed, number) {
  return `The ${changed.join(" and ")} changed: what was found for revision ${number} is void. Find start, floor `
    + "and ceiling anew in a supervised bout, or leave the channels empty.";
}

export function firstWeekWords(contractions, bouts) {
  const fewer = Math.min(contractions, Math.max(1, Math.ceil(contractions * 0.5)));
  return `${fewer} contractions a bout and ${Math.min(1, bouts)} bout a day for seven days`;
}

const SPOKEN = [["cannot_deliver", "cannot be delivered"], ["outside", "outside"], ["notice", "worth a look"]];

// One sentence for who listens: what changed in kind, not every figure.
export function announcement(findings, slips) {
  if (slips) return `${plural(slips, "likely slip")} found.`;
  const parts = SPOKEN.map(([level, words]) => [findings.filter((f) => f.level === level).length, words])
    .filter(([many]) => many).map(([many, words]) => `${many} ${words}`);
  return parts.length ? `Checked: ${listed(parts)}.` : "Checked: nothing stands out.";
}

// What of the source the message does not say itself.
export function toldSource(message, source) {
  const [text, doi] = source.split(", doi ");
  if (source.startsWith("Common practice")) return "";
  if (!message.includes(text)) return source;
  return doi ? `doi ${doi}` : "";
}

export const MARKS = {
  read: "read in the source",
  memory: "from memory",
  "common practice": "common practice, no source",
  clinic: "the clinic's own",
  arithmetic: "arithmetic",
};
