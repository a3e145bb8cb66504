// The skin check: facts for each pad. "Same as the skin around it" is one tap
// for all pads; nothing is answered beforehand.
import { COLOURS } from "../model/check.js";
import { UNCHANGED } from "../model/skin.js";
import { say } from "../model/strings.js";
import { h, swap } from "./dom.js";
import { oneOf } from "./choice.js";
import { skinDrawing } from "./skin-drawing.js";

const FLAGS = ["raised", "itchy", "sore", "broken"];
const YES_NO = [true, false];

const option = (key, value) => ({ value, label: say(key), drawing: skinDrawing(value) });

export class SkinForm {
  #pads;
  #answers;
  #changed;
  #place = h("div", { class: "skin-form" });

  // `answers` is {all_same, facts: {pad: {...}}}, kept in the draft.
  constructor({ pads, answers, changed }) {
    this.#pads = pads;
    this.#answers = answers;
    this.#changed = changed;
    this.#draw();
  }

  get element() {
    return this.#place;
  }

  payloadPads() {
    const facts = (pad) => (this.#answers.all_same ? { ...UNCHANGED } : { ...this.#answers.facts[pad] });
    return this.#pads.map((pad) => ({ pad, facts: facts(pad) }));
  }

  faults() {
    if (this.#answers.all_same) return [];
    if (this.#answers.all_same === null) return [{ id: "skin-all", words: say("skin.fault_all") }];
    return this.#pads.flatMap((pad, at) => this.#padFaults(pad, at + 1));
  }

  #padFaults(pad, number) {
    const facts = this.#answers.facts[pad];
    const differs = ["slight", "marked"].includes(facts.colour);
    const asked = differs ? ["colour", "pattern", ...FLAGS] : ["colour", ...FLAGS];
    return asked
      .filter((name) => facts[name] === undefined)
      .map((name) => ({ id: `${pad}-${name}`, words: say("skin.fault_one", { number, what: say(`skin.short_${name}`) }) }));
  }

  #draw() {
    const differs = this.#answers.all_same === false;
    swap(this.#place, this.#first(), differs ? this.#pads.map((pad, at) => this.#padQuestions(pad, at + 1)) : null);
  }

  #first() {
    return oneOf({
      id: "skin-all", legend: say("skin.all_legend"), hint: say("skin.all_hint"), value: this.#answers.all_same, kind: "rows big",
      options: [{ ...option("skin.all_same", "same"), value: true }, { ...option("skin.all_differs", "patchy"), value: false }],
      pick: (same) => { this.#answers.all_same = same; this.#changed(); this.#draw(); this.#keepFocus(same); },
    });
  }

  #keepFocus(same) {
    this.#place.querySelectorAll("#skin-all input")[same ? 0 : 1]?.focus();
  }

  #padQuestions(pad, number) {
    const facts = (this.#answers.facts[pad] ??= {});
    const patterns = h("div");
    const set = (name) => (value) => { facts[name] = value; this.#changed(); };
    const colour = (value) => {
      facts.colour = value;
      facts.pattern = value === "same" ? null : facts.pattern ?? undefined;
      this.#changed();
      swap(patterns, this.#pattern(pad, facts, set("pattern")));
    };
    swap(patterns, this.#pattern(pad, facts, set("pattern")));
    const title = `${pad}-title`;
    return h("section", { class: "card pad-card", "aria-labelledby": title },
      h("h2", { id: title }, say("skin.pad", { number, place: say(`pad.${pad}`) })),
      oneOf({ id: `${pad}-colour`, legend: say("skin.colour"), options: COLOURS.map((one) => option(`skin.colour_${one}`, one)), value: facts.colour, pick: colour }),
      patterns,
      FLAGS.map((name) => this.#yesNo(pad, name, facts[name], set(name))));
  }

  #pattern(pad, facts, pick) {
    if (!facts.colour || facts.colour === "same") return null;
    const options = ["even", "patchy"].map((one) => option(`skin.pattern_${one}`, one));
    return oneOf({ id: `${pad}-pattern`, legend: say("skin.pattern"), options, value: facts.pattern, pick });
  }

  #yesNo(pad, name, value, pick) {
    const options = YES_NO.map((yes) => ({ value: yes, label: say(yes ? "form.yes" : "form.no") }));
    const field = oneOf({ id: `${pad}-${name}`, legend: say(`skin.${name}`), options, value, pick, kind: "pair" });
    field.querySelector("legend").prepend(skinDrawing(name));
    return field;
  }
}

export const unanswered = () => ({ all_same: null, facts: {} });
