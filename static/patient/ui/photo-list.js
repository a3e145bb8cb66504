// The photos on this phone: where each is, and how it goes. Removing asks first.
import { localTime } from "../model/day.js";
import { say } from "../model/strings.js";
import { button, h, swap } from "./dom.js";

export const waitingOf = (rows) => rows.filter(({ state }) => state === "waiting").length;
export const removingOf = (rows) => rows.filter(({ state }) => state === "removing").length;

// No photo shows where their database fails: the log stands without them.
export async function photosHere(app, entry_id = null) {
  const phone_id = await app.store.meta.get("phone_id");
  const rows = await app.store.photos.rows(phone_id).catch(() => []);
  return entry_id ? rows.filter((row) => row.entry_id === entry_id) : rows;
}

const stateWords = ({ state, reason }) => [say(`photo.state_${state}`), reason ? say(`photo.why_${reason}`) : null].filter(Boolean).join(" ");

export class PhotoList {
  #app;
  #title;
  #entry;
  #changed;
  #asking = null;
  #drawn = "";
  #rows = [];
  #place = h("div", { class: "stack" });

  // `changed(rows)` hears what there is now; `entry` is null for all checks, which
  // need no title of their own.
  constructor({ app, title = null, entry = null, changed = () => {} }) {
    this.#app = app;
    this.#title = title;
    this.#entry = entry;
    this.#changed = changed;
  }

  get element() {
    return this.#place;
  }

  // Drawn anew only where something changed: the focus stays where it is.
  async look() {
    this.#rows = await photosHere(this.#app, this.#entry);
    const now = JSON.stringify([this.#rows, this.#asking]);
    if (now !== this.#drawn) this.#draw();
    this.#drawn = now;
    this.#changed(this.#rows);
    return this.#rows;
  }

  focus() {
    (this.#place.querySelector("section > h2") ?? document.querySelector("h1")).focus();
  }

  #draw() {
    if (!this.#rows.length) return swap(this.#place);
    const heading = this.#title ? h("h2", { tabindex: "-1" }, this.#title) : null;
    return swap(this.#place, h("section", { class: "card stack" }, heading,
      h("ol", { class: "photos" }, this.#rows.map((row, at) => this.#item(row, at + 1)))));
  }

  #item(row, number) {
    const { now_ms, offset_min } = this.#app.clock.reading();
    const [day, time] = localTime(Math.min(row.taken_ms, now_ms), offset_min).split("T");
    return h("li", { class: "stack" },
      h("p", {}, h("strong", {}, say("photo.number", { number, day: say.day(day), time: time.slice(0, 5) })), " ", stateWords(row)),
      row.state === "removing" ? null : this.#way(row, number));
  }

  #way(row, number) {
    if (this.#asking !== row.id) return button(say("photo.remove", { number }), () => this.#ask(row.id), { class: "button wide" });
    return h("div", { class: "card alarm-card stack" },
      h("h2", { tabindex: "-1" }, say("photo.sure", { number })),
      button(say("photo.yes"), this.#app.once(() => this.#remove(row)), { class: "button wide" }),
      button(say("photo.no"), () => this.#ask(null), { class: "button wide" }));
  }

  async #ask(id) {
    this.#asking = id;
    await this.look();
    const asked = this.#place.querySelector(".alarm-card h2");
    if (!asked) return this.focus();
    asked.focus();
    return asked.parentElement.scrollIntoView({ block: "end" });
  }

  async #remove({ id }) {
    const app = this.#app;
    const done = await app.store.photos.remove(id).catch(() => false);
    this.#asking = null;
    const rows = await this.look();
    if (!done) return app.frame.tell(say("photo.not_removed"));
    const stays = rows.some((row) => row.id === id);
    app.frame.tell(say(stays ? "photo.state_removing" : "photo.removed"));
    this.focus();
    if (stays) app.sync();
    return null;
  }
}
