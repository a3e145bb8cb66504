// What the next bout is: contractions, times, intensity rule, pads, cautions.
import { say } from "../model/strings.js";
import { h } from "./dom.js";
import { legFigure, padWord } from "./leg-figure.js";

const unitOf = ({ unit }) => say(`unit.${unit}`);

// `last` is null where its figures say nothing about the next bout.
export function intensityLines(revision, last) {
  return revision.intensity.map(({ channel, start, floor, ceiling }) => {
    const before = last?.payload.intensity.find((one) => one.channel === channel);
    const unit = unitOf(revision);
    const known = [["dose.start", start], ["dose.floor", floor], ["dose.ceiling", ceiling], ["dose.last", before?.value ?? null]];
    return h("li", {}, h("strong", {}, say("dose.channel", { channel })), " ",
      known.filter(([, value]) => value !== null).map(([key, value]) => say(key, { value, unit })).join(" "));
  });
}

function doseList(revision) {
  const { contractions_per_bout, bout_min, on_s, off_s, ramp_up_s, ramp_down_s, stimulator_name } = revision;
  return h("ul", { class: "facts" },
    h("li", {}, h("strong", {}, say("dose.contractions", { count: contractions_per_bout })), " ", say("dose.minutes", { count: bout_min }), " ", say("dose.contraction_is")),
    h("li", {}, say("dose.times", { on: on_s, off: off_s })),
    ramp_up_s || ramp_down_s ? h("li", {}, say("dose.ramp", { up: ramp_up_s, down: ramp_down_s })) : null,
    stimulator_name ? h("li", {}, say("dose.stimulator", { name: stimulator_name })) : null);
}

const sentence = (words) => words.charAt(0).toUpperCase() + words.slice(1);

// A clinician's own words say it already.
const tempoWords = ({ tempo, ours }) => (tempo && ours ? say("dose.tempo", { lift: tempo.lift_s, hold: tempo.hold_s, lower: tempo.lower_s }) : null);

function exerciseList({ exercises, position, knee_angle_deg, knee_range, voluntary_in_off }) {
  const angle = knee_angle_deg === null ? knee_range : say("dose.angle", { angle: knee_angle_deg });
  return h("ul", { class: "facts" },
    position || angle ? h("li", {}, sentence([position, angle].filter(Boolean).join(", "))) : null,
    exercises.map((one) => h("li", {}, h("strong", {}, one.name), one.how ? ` ${one.how}` : null, " ", tempoWords(one))),
    voluntary_in_off ? h("li", {}, say("dose.voluntary")) : null);
}

export function padCard(limb, { pads }) {
  return h("figure", { class: "pads" }, legFigure(limb, pads),
    h("figcaption", {}, h("strong", {}, say("pads.caption", { limb: say(`limb.${limb}`) })),
      pads.map((code, at) => h("p", {}, padWord(code, at + 1))), h("p", { class: "hint" }, say("pads.view"))));
}

// The ones that come while the current is on; all of them are under "Something is wrong".
const STOP_SIGNS = ["chest_pain", "breathless", "faint", "skin_burn", "strong_pain", "calf_pain"];

const stopSigns = () => h("p", {}, h("strong", {}, say("caution.stop")), " ", STOP_SIGNS.map((code) => say(`symptom.${code}`)).join(", "), ". ", say("caution.stop_then"));

export function cautions(texts, open = false) {
  const lines = texts?.cautions?.length ? texts.cautions : [say("caution.default")];
  return h("details", { class: "card cautions", open }, h("summary", {}, h("strong", {}, say("caution.title"))),
    h("ul", { class: "facts" }, lines.map((line) => h("li", {}, line))), h("p", {}, say("caution.not_driven")), stopSigns());
}

// Folded: it stood on the screen before.
export function doseCard(revision) {
  return h("details", { class: "card" }, h("summary", {}, h("strong", {}, say("dose.title"))), doseList(revision), exerciseList(revision));
}

export function boutCard({ limb, revision }, texts, last) {
  return h("section", { class: "card" },
    h("h2", {}, say("dose.title")), doseList(revision), h("ul", { class: "facts" }, intensityLines(revision, last)), exerciseList(revision),
    h("p", { class: "hint" }, say("dose.rises")),
    padCard(limb, revision), cautions(texts));
}
