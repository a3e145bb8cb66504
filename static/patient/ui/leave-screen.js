// Leave this phone, in two steps: the program and what the clinic has go from
// it. What has not reached the clinic stays, and bars the way until it was sent
// or copied.
import { say } from "../model/strings.js";
import { button, h, link, swap } from "./dom.js";
import { copyButton } from "./export.js";
import { photosHere, removingOf, waitingOf } from "./photo-list.js";

// They bar no way: the log is what must not be lost.
function photosCard(rows, sendNow) {
  const [waiting, removing] = [waitingOf(rows), removingOf(rows)];
  if (!waiting && !removing) return null;
  return h("section", { class: "card notice stack" },
    waiting ? h("p", {}, say("photo.leave_waits", { count: waiting })) : null,
    removing ? h("p", {}, say("photo.leave_removing", { count: removing })) : null, sendNow());
}

export async function leaveScreen(app) {
  const facts = await app.facts();
  const sendNow = () => button(say("call.sync_now"), async () => { await app.sync({ reset: true }); app.draw(); }, { class: "button wide" });
  const photos = h("div");
  const heard = async () => { swap(photos, photosCard(await photosHere(app), count ? () => null : sendNow)); };
  const told = { exported: false };
  const count = facts.waiting + facts.earlier;
  const step = h("div", { class: "stack" });
  const leave = async () => {
    const left = await app.engine.pairing.leave(told);
    if (left) return app.forgotten();
    app.frame.tell(say("leave.still"));
    return app.draw();
  };
  const sure = () => {
    swap(step, h("section", { class: "card alarm-card stack" },
      h("h2", { tabindex: "-1" }, say("leave.sure")), h("p", {}, say("leave.back")),
      button(say("leave.yes"), app.once(leave), { class: "button primary alarm" }), link(say("leave.no"), "#settings")));
    step.querySelector("h2").focus();
    step.scrollIntoView({ block: "end" });
  };
  const first = button(say("leave.go"), sure, { class: "button wide", disabled: count > 0 });
  swap(step, first);
  const copied = () => { told.exported = true; first.disabled = false; };
  await heard();
  return {
    title: say("leave.title"), area: "call", heard,
    body: [
      h("p", { class: "lead" }, say("leave.what")), h("p", {}, say("leave.clinic")),
      count ? h("section", { class: "card notice stack" }, h("p", {}, say("leave.unsent", { count })), h("p", {}, say("leave.stays")),
        sendNow(), copyButton(app, copied)) : null,
      photos, step,
    ],
  };
}
