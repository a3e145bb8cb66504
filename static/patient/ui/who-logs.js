// Who gives the answers: the patient, or a helper by name.
import { cleanText } from "../model/check.js";
import { say } from "../model/strings.js";
import { oneOf } from "./choice.js";
import { h, swap } from "./dom.js";

const NAME_MAX = 60;

// What is told is written into `meta` too, so that a save at once says it.
export function whoLogs(app, meta) {
  const known = meta.logged_by;
  const name = h("input", { id: "helper-name", type: "text", maxlength: NAME_MAX, autocomplete: "off" });
  name.value = known?.who === "helper" ? known.name : "";
  const summary = h("summary");
  const show = (said) => swap(summary,
    h("span", {}, said?.who === "helper" ? say("who.helper_logs", said) : say("who.you_log")), h("span", { class: "as-link" }, say("log.change")));
  const set = async (who) => {
    const helper = cleanText(name.value);
    const said = who === "helper" && helper ? { who: "helper", name: helper } : { who: "patient" };
    show(said);
    meta.logged_by = said;
    await app.store.meta.set({ logged_by: said });
  };
  name.addEventListener("change", () => set("helper"));
  const options = ["patient", "helper"].map((value) => ({ value, label: say(`who.${value}`) }));
  show(known);
  return h("details", { class: "card change" }, summary,
    oneOf({ id: "who", legend: say("who.legend"), options, value: known?.who ?? "patient", pick: set }),
    h("div", { class: "field" }, h("label", { for: "helper-name" }, say("who.name")), name));
}
