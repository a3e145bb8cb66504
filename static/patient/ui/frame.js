// The frame around every screen: the clinic's number and "something is wrong"
// on top, the three areas below, the next step just above them.
import { say } from "../model/strings.js";
import { h, swap } from "./dom.js";
import { icon } from "./shapes.js";

const AREAS = [["next", "#next", "area.next"], ["so_far", "#so-far", "area.so_far"], ["call", "#call", "area.call"]];
const TWICE_MS = 600;
const FOCUSABLE = "a, button, summary, input, textarea";
const TAP_MS = 100; // from the finger's rise to the click of it, with room to spare
const LONG_MS = 5000; // a rise may never be told

export class Frame {
  #top = h("header", { class: "top" });
  #told = h("p", { class: "told", role: "status" });
  // What is empty takes no room: the screen must not move when it is filled.
  #strip = h("div", { class: "strip", hidden: true });
  #main = h("main", { class: "main", id: "main", tabindex: "-1" });
  #action = h("section", { class: "action", hidden: true });
  #areas = h("nav", { class: "areas", hidden: true });
  #fresh = false;
  #arrived = 0;
  #pressed = 0;
  #late = null;

  constructor(root) {
    this.#action.addEventListener("click", (event) => this.#ignoreSecond(event), { capture: true });
    root.addEventListener("pointerdown", () => this.#press(LONG_MS), { capture: true });
    for (const risen of ["pointerup", "pointercancel"]) addEventListener(risen, () => this.#press(TAP_MS), { capture: true });
    swap(root, this.#top, this.#told, this.#strip, this.#main, this.#action, this.#areas);
  }

  // `screen` is {title, area, body, action, bare}; `moved` is false when the
  // same screen is drawn anew, so that focus and scroll stay where they are.
  show(screen, { phone, moved }) {
    // A link drawn anew under a finger would swallow the tap.
    this.#late = this.#pressed && !moved ? [screen, { phone, moved }] : null;
    if (this.#late) return;
    document.title = `${screen.title} – ${say("app.name")}`;
    this.#action.setAttribute("aria-label", say("area.step"));
    this.#areas.setAttribute("aria-label", say("area.label"));
    this.#put(this.#top, ...this.#help(phone));
    this.#drawAreas(screen);
    const heading = h("h1", { tabindex: "-1", class: screen.plain ? "quiet" : null }, screen.heading ?? screen.title);
    const body = h("div", { class: "body" }, heading, screen.body);
    const action = h("div", { class: "stack" }, screen.action ?? null);
    if (moved) this.#arrive(body, action);
    else this.#renew(body, action);
    this.#action.hidden = !screen.action;
    // Text alone must be reachable by keyboard too, to be scrolled.
    this.#main.tabIndex = this.#main.querySelector(FOCUSABLE) ? -1 : 0;
  }

  #press(ms) {
    clearTimeout(this.#pressed);
    this.#pressed = setTimeout(() => {
      this.#pressed = 0;
      if (this.#late) this.show(...this.#late);
    }, ms);
  }

  // Of two quick taps the second was meant for the screen before.
  #ignoreSecond(event) {
    if (event.detail < 2 || event.timeStamp - this.#arrived > TWICE_MS) return;
    event.preventDefault();
    event.stopPropagation();
  }

  #arrive(body, action) {
    this.#arrived = performance.now();
    swap(this.#main, body);
    swap(this.#action, action);
    this.#main.scrollTop = 0;
    this.#main.querySelector("h1").focus({ preventScroll: true });
  }

  // What a sync changed: opened parts stay open, the focus stays put, and
  // nothing moves at all when nothing changed.
  #renew(body, action) {
    const opened = [...this.#main.querySelectorAll("details")].map(({ open }) => open);
    const parts = [...body.querySelectorAll("details")];
    if (parts.length === opened.length) parts.forEach((part, at) => { part.open = opened[at]; });
    // Both or neither: a button belongs to the form it was drawn with.
    if (this.#main.firstChild?.isEqualNode(body) && this.#action.firstChild?.isEqualNode(action)) return;
    this.#swapKeepingFocus(this.#main, body);
    this.#swapKeepingFocus(this.#action, action);
  }

  // Links alone: each does what any other like it does.
  #put(place, ...links) {
    if (place.childNodes.length === links.length && links.every((one, at) => one.isEqualNode(place.childNodes[at]))) return;
    this.#swapKeepingFocus(place, ...links);
  }

  #swapKeepingFocus(place, ...fresh) {
    const scrolled = place.scrollTop;
    const at = [...place.querySelectorAll(FOCUSABLE)].indexOf(document.activeElement);
    swap(place, ...fresh);
    place.scrollTop = scrolled;
    if (at >= 0) place.querySelectorAll(FOCUSABLE)[at]?.focus({ preventScroll: true });
  }

  // A message for eyes and screen readers, said once. It outlives one move, so
  // that "saved" can be read on the screen that follows.
  tell(words) {
    this.#told.textContent = words;
    this.#fresh = true;
  }

  moved() {
    if (!this.#fresh) this.#told.textContent = "";
    this.#fresh = false;
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
    this.#put(this.#areas, ...AREAS.map(([name, href, key]) =>
      h("a", { href, class: "area", "aria-current": name === area ? "page" : null }, icon(name), h("span", {}, say(key)))));
  }
}
