// Counts along with the stimulator: large word, seconds, the slope of one
// contraction. Everything is computed from the start time at each look.
import { cycleOf, phaseAt } from "../model/phase.js";
import { say } from "../model/strings.js";
import { h, s } from "./dom.js";

const LOOK_MS = 200;
const WIDE = 300;
const HIGH = 70;

function slope({ steps, length_s }) {
  let at = 0;
  const levels = { rising: 8, on: 8, falling: 62, rest: 62 };
  const points = steps.map(([name, seconds]) => {
    at += seconds;
    return `${((at / length_s) * WIDE).toFixed(1)},${levels[name]}`;
  });
  return s("polyline", { points: `0,62 ${points.join(" ")}`, class: "count-line" });
}

export class CountView {
  #revision;
  #clock;
  #startMs;
  #word = h("p", { class: "count-word" });
  #left = h("p", { class: "count-left" });
  #number = h("p", { class: "count-number" });
  #mark = s("line", { y1: 2, y2: HIGH - 2, class: "count-mark" });
  #wait = null;
  element;

  constructor({ revision, clock, startMs }) {
    this.#revision = revision;
    this.#clock = clock;
    this.#startMs = startMs;
    const picture = s("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, class: "count-picture", "aria-hidden": "true" }, slope(cycleOf(revision)), this.#mark);
    this.element = h("div", { class: "card count", role: "timer", "aria-label": say("count.label") }, this.#word, this.#left, picture, this.#number);
    this.#look();
    this.#wait = setInterval(() => this.#look(), LOOK_MS);
  }

  moveTo(startMs) {
    this.#startMs = startMs;
    this.#look();
  }

  now() {
    return phaseAt(this.#revision, (this.#clock.now() - this.#startMs) / 1000);
  }

  stop() {
    clearInterval(this.#wait);
  }

  #look() {
    const { phase, left_s, at_s, contraction } = this.now();
    this.element.dataset.phase = phase;
    this.#word.textContent = say(`count.${phase}`);
    this.#left.textContent = phase === "over" ? "" : say("count.seconds", { count: left_s });
    this.#number.textContent = say("count.contraction", { number: contraction, of: this.#revision.contractions_per_bout });
    const x = (at_s / cycleOf(this.#revision).length_s) * WIDE;
    this.#mark.setAttribute("x1", x);
    this.#mark.setAttribute("x2", x);
  }
}
