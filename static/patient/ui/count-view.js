// What a count shows: one large word, seconds, the slope of one contraction,
// what is left. Written only where something changed.
import { cycleOf } from "../model/phase.js";
import { say } from "../model/strings.js";
import { h, s } from "./dom.js";

const WIDE = 300;
const HIGH = 70;
const LEVELS = { rising: 8, on: 8, falling: 62, rest: 62 };

function slope({ steps, length_s }) {
  let at = 0;
  const points = steps.map(([name, seconds]) => {
    at += seconds;
    return `${((at / length_s) * WIDE).toFixed(1)},${LEVELS[name]}`;
  });
  return s("polyline", { points: `0,62 ${points.join(" ")}`, class: "count-line" });
}

const set = (element, words) => { if (element.textContent !== words) element.textContent = words; };

// Over, says one clock of the phone and the other does not: that is a question.
const overOf = ({ other, cue }) => (cue === "over" && other ? "asked" : cue);
const stateOf = (now) => (now.rests ? "paused" : overOf(now));

function moreWords({ cue, total, contraction }) {
  if (cue === "over") return "";
  const more = total - contraction;
  return more ? say("count.more", { count: more }) : say("count.last");
}

// In the rest it is the one of the next contraction.
function exerciseWords({ exercise, phase }) {
  if (!exercise) return "";
  return phase === "rest" ? say("count.next_exercise", { name: exercise.name }) : exercise.name;
}

export class CountView {
  #length_s;
  #word = h("p", { class: "count-word" });
  #left = h("p", { class: "count-left" });
  #exercise = h("p", { class: "count-exercise" });
  #number = h("p", { class: "count-number" });
  #more = h("p", {});
  #mark = s("line", { y1: 2, y2: HIGH - 2, class: "count-mark" });
  // For screen readers: each cue once, and nothing while the seconds run.
  #voice = h("p", { class: "quiet", role: "status" });
  #said = "";
  #still = matchMedia("(prefers-reduced-motion: reduce)");
  element;

  constructor(revision) {
    const cycle = cycleOf(revision);
    this.#length_s = cycle.length_s;
    const picture = s("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, class: "count-picture", "aria-hidden": "true" }, slope(cycle), this.#mark);
    this.element = h("div", { class: "count-box" },
      h("div", { class: "card count", role: "timer", "aria-label": say("count.label") }, this.#word, this.#left, this.#exercise, picture, this.#number, this.#more),
      this.#voice);
  }

  // True when the cue is another one than at the last look.
  show(now) {
    const state = stateOf(now);
    const card = this.element.firstChild;
    if (card.dataset.cue !== state) card.dataset.cue = state;
    if (card.dataset.phase !== now.phase) card.dataset.phase = now.phase;
    const number = say("count.contraction", { number: now.contraction, of: now.total });
    set(this.#word, say(`count.${state}`));
    set(this.#left, now.rests || now.cue === "over" ? "" : say("count.seconds", { count: now.left_s }));
    set(this.#exercise, exerciseWords(now));
    set(this.#number, number);
    set(this.#more, moreWords(now));
    const changed = this.#said !== `${state} ${now.contraction}`;
    if (changed) set(this.#voice, `${say(`count.${state}`)}. ${number}.`);
    this.#said = `${state} ${now.contraction}`;
    if (changed || !this.#still.matches) this.#moveMark(now.at_s);
    return changed;
  }

  #moveMark(at_s) {
    const x = ((at_s / this.#length_s) * WIDE).toFixed(1);
    if (this.#mark.getAttribute("x1") === x) return;
    this.#mark.setAttribute("x1", x);
    this.#mark.setAttribute("x2", x);
  }
}
