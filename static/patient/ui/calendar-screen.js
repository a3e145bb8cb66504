// The due days as a file for the phone's own calendar: it takes a network once,
// and rings without one from then on.
import { say } from "../model/strings.js";
import { button, h } from "./dom.js";
import { download } from "./download.js";

const USUAL = "18:00";
const NAME = "reminder.ics"; // seen by whoever sees the phone's files

export function calendarScreen(app) {
  const at = h("input", { id: "calendar-at", type: "time", value: USUAL, required: true });
  const save = async () => {
    if (!at.reportValidity()) return;
    const { state, file } = await app.engine.reminding.calendar(at.value, say.language);
    if (state === "file") download(file, "text/calendar", NAME);
    app.frame.tell(say(`calendar.${state}`));
  };
  return {
    title: say("calendar.title"), area: "call",
    body: [
      h("p", { class: "lead" }, say("calendar.what")),
      h("div", { class: "field" }, h("label", { for: at.id }, say("calendar.at")), at),
      h("p", { class: "hint" }, say("calendar.again")),
    ],
    action: button(say("calendar.save"), app.once(save), { class: "button primary" }),
  };
}
