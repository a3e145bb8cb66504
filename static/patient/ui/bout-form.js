// What happened in a bout. Times and counts come filled from the program or
// the count and are confirmed by saving; discomfort and pain never are.
import { ENDED_EARLY, MAX } from "../model/check.js";
import { say } from "../model/strings.js";
import { oneOf, scale, someOf } from "./choice.js";
import { button, h, swap } from "./dom.js";
import { stepper } from "./stepper.js";

// A number that cannot be; none at all is another fault.
function beyond(id, value, kind, what, high) {
  const cannot = value < 0 || value > high || (kind === "whole" && value % 1);
  return cannot ? [{ id, words: say(`log.fault_${kind}`, { what, high }) }] : [];
}

export class BoutForm {
  #value;
  #moment;
  #late = false;
  #revision;
  #last;
  #changed;
  #asksBefore;
  #ended;
  #early = h("div");
  #summary = h("summary");

  // `value` is the draft's answers and is written to in place.
  constructor({ value, moment, revision, last, changed, asksBefore }) {
    this.#value = value;
    this.#moment = moment;
    this.#revision = revision;
    this.#last = last;
    this.#changed = changed;
    this.#asksBefore = asksBefore;
    this.#ended = value.ended || (value.early ?? "no") !== "no";
  }

  elements() {
    this.#sumUp();
    return [
      this.#what(), this.#early, this.#intensity(),
      this.#scale("discomfort", "scale.discomfort_high"),
      this.#asksBefore ? this.#scale("knee_pain_before", "scale.pain_high") : null,
      this.#scale("knee_pain_after", "scale.pain_high"), this.#note(),
    ];
  }

  #set(name, value) {
    this.#value[name] = value;
    this.#changed();
    this.#sumUp();
  }

  // A time to come is no answer; what was said before stands until another is.
  #begin(moment) {
    this.#late = !moment;
    if (moment) this.#set("started_at", moment);
  }

  #sumUp() {
    const { started_at, contractions, minutes } = this.#value;
    swap(this.#summary, h("span", {}, say("log.summary", { from: started_at.slice(11), contractions: contractions ?? "–", minutes: minutes ?? "–" }), this.#leftOutWords()),
      h("span", { class: "as-link" }, say("log.change")));
    const whole = contractions >= this.#revision.contractions_per_bout && !this.#ended;
    if (whole) this.#value.early = null; // no answer to a question that is no longer asked
    const short = this.#ended || (contractions !== null && !whole);
    if (short !== Boolean(this.#early.firstChild)) swap(this.#early, short ? this.#earlyQuestion() : null);
  }

  #leftOutWords() {
    const left = this.#revision.exercises.filter(({ code }) => !this.#value.exercises.includes(code));
    return left.length ? h("small", { class: "left-out" }, say("log.left_out", { names: left.map(({ name }) => name).join(", ") })) : null;
  }

  #what() {
    const { started_at, contractions, minutes } = this.#value;
    const time = h("input", {
      id: "started_at", type: "time", value: started_at.slice(11), required: true,
      on: { change: (event) => event.target.value && this.#begin(this.#moment(event.target.value)) },
    });
    const count = (name, high, first) => stepper({ id: name, label: say(`log.${name}`), value: this.#value[name], start: first, high, pick: (told) => this.#set(name, told) }).field;
    return h("details", { class: "card change" }, this.#summary,
      h("div", { class: "field" }, h("label", { for: "started_at" }, say("log.started_at")), h("p", { class: "fault", id: "started_at-fault", hidden: true }), time),
      count("contractions", MAX.contractions, contractions), count("minutes", MAX.minutes, minutes), this.#exercises());
  }

  #exercises() {
    const options = this.#revision.exercises.map(({ code, name }) => ({ value: code, label: name }));
    if (!options.length) return null;
    return someOf({ id: "exercises", legend: say("log.exercises"), options, values: this.#value.exercises, pick: (told) => this.#set("exercises", told) });
  }

  #earlyQuestion() {
    const options = [...ENDED_EARLY.map((code) => ({ value: code, label: say(`early.${code}`) })), { value: "no", label: say("early.no") }];
    return oneOf({ id: "ended_early", kind: "halves", legend: say("log.ended_early"), options, value: this.#value.early, pick: (told) => this.#set("early", told) });
  }

  #intensity() {
    const unit = this.#revision.unit;
    const steps = this.#revision.intensity.map((plan) => this.#channel(plan, unit));
    const [words, values] = this.#offer();
    const take = () => steps.forEach(({ set }, at) => set(values[at]));
    return h("section", { class: "card", id: "intensity" },
      h("h2", {}, say("log.intensity")), h("p", { class: "hint" }, say("log.intensity_hint")),
      words ? button(say(words, { values: values.join(", "), unit: say(`unit.${unit}`) }), take, { class: "button wide" }) : null,
      steps.map(({ field }) => field));
  }

  // One tap in the place of many: last time's values, else those the program
  // starts from. Never taken without that tap.
  #offer() {
    const plans = this.#revision.intensity;
    const offers = [["log.same_as_last", plans.map(({ channel }) => this.#lastOf(channel))], ["log.as_program", plans.map(({ start }) => start ?? null)]];
    return offers.find(([, values]) => values.every((value) => value !== null)) ?? [null, []];
  }

  // Of the last bout; in another unit it would be another strength.
  #lastOf(channel) {
    return this.#last?.payload.intensity.find((one) => one.channel === channel && one.unit === this.#revision.unit)?.value ?? null;
  }

  #channel({ channel, start, floor, ceiling }, unit) {
    return stepper({
      id: `channel-${channel}`, label: say("dose.channel", { channel }), unit: say(`unit.${unit}`),
      value: this.#value.intensity[channel] ?? null, start: this.#lastOf(channel) ?? start ?? floor ?? 0, high: MAX[unit], limit: ceiling ?? null,
      pick: (value) => this.#set("intensity", { ...this.#value.intensity, [channel]: value }),
    });
  }

  #scale(name, high) {
    return scale({
      id: name, legend: say(`log.${name}`), low: say("scale.low"), high: say(high),
      value: this.#value[name], pick: (told) => this.#set(name, told),
    });
  }

  #note() {
    const area = h("textarea", { id: "note", rows: 3, maxlength: MAX.note, on: { input: (event) => this.#set("note", event.target.value) } });
    area.value = this.#value.note ?? "";
    return h("details", { class: "card change" }, h("summary", {}, h("span", { class: "as-link" }, say("log.add_note"))),
      h("div", { class: "field" }, h("label", { for: "note" }, say("log.note")), area));
  }

  faults() {
    const { early, intensity } = this.#value;
    const missing = (name) => (this.#value[name] === null || this.#value[name] === undefined ? [{ id: name, words: say(`log.fault_${name}`) }] : []);
    const count = (name, kind) => [...missing(name), ...beyond(name, this.#value[name], kind, say(`log.${name}`), MAX[name])];
    const channels = this.#revision.intensity.flatMap(({ channel }) => {
      const id = `channel-${channel}`;
      const value = intensity[channel] ?? null;
      return value === null ? [{ id, words: say("log.fault_intensity", { channel }) }] : beyond(id, value, "range", say("dose.channel", { channel }), MAX[this.#revision.unit]);
    });
    const reason = this.#early.firstChild && !early ? [{ id: "ended_early", words: say("log.fault_early") }] : [];
    const late = this.#late ? [{ id: "started_at", words: say("log.fault_started_at") }] : [];
    return [...late, ...count("contractions", "whole"), ...count("minutes", "range"), ...reason, ...channels,
      ...missing("discomfort"), ...(this.#asksBefore ? missing("knee_pain_before") : []), ...missing("knee_pain_after")];
  }
}
