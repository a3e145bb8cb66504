// Faults of a form: a list on top that takes the focus, each line leading to
// its question, the same words beside the question, and a marked page title.
import { say } from "../model/strings.js";
import { h, swap } from "./dom.js";

export class FaultList {
  #place = h("div", { class: "fault-list", role: "alert", tabindex: "-1", hidden: true });

  get element() {
    return this.#place;
  }

  // `faults` are {id, words}; an empty list clears what was shown.
  show(faults, root) {
    for (const note of root.querySelectorAll(".fault")) note.hidden = true;
    for (const field of root.querySelectorAll("[aria-invalid]")) field.removeAttribute("aria-invalid");
    this.#place.hidden = faults.length === 0;
    if (!faults.length) return;
    for (const { id, words } of faults) this.#mark(root, id, words);
    swap(this.#place, h("h2", {}, say("form.please_check")),
      h("ul", {}, faults.map(({ id, words }) => h("li", {}, this.#leading(root, id, words)))));
    document.title = `${say("form.please_check")} ${document.title}`;
    root.addEventListener("input", this.#answered);
    root.addEventListener("click", this.#answered);
    this.#place.focus();
    this.#place.scrollIntoView({ block: "start" });
  }

  #mark(root, id, words) {
    const note = root.querySelector(`#${CSS.escape(id)}-fault`);
    if (note) Object.assign(note, { hidden: false, textContent: words });
    const field = root.querySelector(`#${CSS.escape(id)}`);
    field?.setAttribute("aria-invalid", "true");
    field?.setAttribute("aria-describedby", `${id}-fault`);
  }

  // Red words beside a question that has its answer would still say "wrong". The
  // list on top stays until the next Save: nothing moves far under the thumb.
  #answered = ({ type, target }) => {
    if (type === "click" && !target.closest(".step")) return;
    const question = target.closest(".field, .stepper, fieldset");
    const fault = question?.querySelector(".fault");
    if (fault) fault.hidden = true;
    for (const field of [question, question?.querySelector("[aria-invalid]")]) field?.removeAttribute("aria-invalid");
  };

  // A link by hash would change the screen, so the tap moves the focus itself.
  #leading(root, id, words) {
    const go = () => {
      const field = root.querySelector(`#${CSS.escape(id)}`);
      field?.scrollIntoView({ block: "start" });
      (field?.querySelector("input") ?? field)?.focus();
    };
    return h("button", { type: "button", class: "as-link", on: { click: go } }, words);
  }
}
