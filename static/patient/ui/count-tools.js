// Beside the count: what the patient can put right, and how it is told.
import { say } from "../model/strings.js";
import { canShake } from "./cues.js";
import { button, h, swap } from "./dom.js";

// How the exercise goes that is on or comes next, and a way past it.
export function exerciseCard({ exercise, skippable }, skip) {
  if (!exercise || !(exercise.how || skippable)) return null;
  return h("section", { class: "card" },
    h("h2", {}, exercise.name), exercise.how ? h("p", {}, exercise.how) : null,
    skippable ? button(say("count.skip"), skip, { class: "button wide" }) : null);
}

// The two clocks of the phone do not agree: the patient knows.
export function doubtCard({ other, contraction, cue }, { fits, takes }) {
  if (!other) return null;
  const at = (over, number) => (over ? say("doubt.all") : say("doubt.at", { number }));
  const over = cue === "over";
  return h("section", { class: "card notice stack", role: "alert" },
    h("p", {}, say("doubt.line"), " ", over ? say("doubt.question_over") : say("doubt.question", { number: contraction })),
    button(say("doubt.fits", { where: at(over, contraction) }), fits, { class: "button wide" }),
    button(say("doubt.other", { where: at(other.over, other.number) }), takes, { class: "button wide" }));
}

// Sound and vibration, each with its own switch; the words stay.
export function cueSwitches(choices) {
  const place = h("div", { class: "two" });
  const one = (name) => {
    const on = choices.get(name);
    const turn = () => {
      choices.set({ [name]: !on });
      draw(name);
    };
    return button(say(`cue.${name}_${on ? "off" : "on"}`), turn, { class: "button", "data-cue-switch": name });
  };
  const draw = (focused) => {
    swap(place, one("sound"), canShake() ? one("vibration") : null);
    place.querySelector(`[data-cue-switch="${focused}"]`)?.focus();
  };
  draw(null);
  return place;
}
