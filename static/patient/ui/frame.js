// The frame around every screen: the clinic's number and "something is wrong"
// on top, the three areas below, the next step just above them.
import { say } from "../model/strings.js";
import { h, swap } from "./dom.js";
import { icon } from "./shapes.js";

const AREAS = [["next", "#next", "area.next"], ["so_far", "#so-far", "area.so_far"], ["call", "#call", "area.call"]];

export class Frame {
  #top = h("header", { class: "top" });
  #main = h("main", { class: "main", id: "main", tabindex: "-1" });
  #action = h("div", { class: "action" });
  #areas = h("nav", { class: "areas", "aria-label": say("area.label") });
  #told = h("p", { class: "told", role: "status" });
  #strip = h("div", { class: "strip" });

  constructor(root) {
    swap(root, this.#top, this.#strip, this.#main, this.#action, this.#areas, this.#told);
  }

  // `screen` is {title, area, body, action, bare}; `moved` is false when the
  // same screen is drawn anew, so that focus and scroll stay where they are.
  show(screen, { phone, moved }) {
    document.title = `${screen.title} – ${say("app.name")}`;
    swap(this.#top, screen.bare ? null : this.#help(phone));
    this.#drawAreas(screen);
    const at = this.#main.scrollTop;
    swap(this.#main, h("h1", { tabindex: "-1", class: screen.plain ? "quiet" : null }, screen.heading ?? screen.title), screen.body);
    swap(this.#action, screen.action ?? []);
    this.#action.hidden = !screen.action;
    this.#main.scrollTop = moved ? 0 : at;
    if (moved) this.#main.querySelector("h1").focus({ preventScroll: true });
  }

  // A message for eyes and screen readers, said once.
  tell(words) {
    this.#told.textContent = words;
    this.#told.hidden = words === "";
  }

  strip(content) {
    swap(this.#strip, content ?? []);
    this.#strip.hidden = !content;
  }

  #help(phone) {
    const call = phone
      ? h("a", { class: "top-button", href: `tel:${phone.replace(/[^+\d]/g, "")}` }, icon("call"), say("top.call"))
      : h("a", { class: "top-button", href: "#call" }, icon("call"), say("top.call"));
    return [call, h("a", { class: "top-button wrong", href: "#stop" }, icon("stop"), say("top.stop"))];
  }

  #drawAreas({ area, bare }) {
    this.#areas.hidden = Boolean(bare);
    swap(this.#areas, AREAS.map(([name, href, key]) =>
      h("a", { href, class: "area", "aria-current": name === area ? "page" : null }, icon(name), h("span", {}, say(key)))));
  }
}
