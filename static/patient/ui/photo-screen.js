// A photo of the skin beside its skin check: taken with the phone's own camera,
// made small here, looked at, and only then kept. Nobody has to.
import { say } from "../model/strings.js";
import { MOST } from "../store/photos.js";
import { button, h, link, swap } from "./dom.js";
import { PhotoList, photosHere } from "./photo-list.js";
import { shrunk } from "./shrink.js";

// In one piece it would look like a comment to what joins our files.
const PICTURES = `image/${"*"}`;
const POINTS = ["what", "clinic", "waits", "gone"];
const ROOM_LEAST = 20_000_000; // bytes; entries need theirs first
const LEFT = new Set(["many", "enough", "full"]);

// Photos come after entries, also where room is short.
async function hasRoom() {
  const { quota, usage } = (await navigator.storage?.estimate?.().catch(() => null)) ?? {};
  return !quota || quota - usage > ROOM_LEAST;
}

export const takesPhotos = ({ texts }, entry) => texts?.photos === true && entry?.kind === "skin_check" && !entry.withdrawn;

// The way to the photos of a check, where there are any or one may be taken.
export async function photoLink(app, facts, entry) {
  const here = entry.kind === "skin_check" ? await photosHere(app, entry.id) : [];
  if (!here.length && !takesPhotos(facts, entry)) return null;
  return link(say(here.length ? "photo.see" : "photo.add"), `#photo/${entry.id}`);
}

class Taking {
  #app;
  #entry;
  #facts;
  #wanted;
  #picture = null;
  #place = h("div", { class: "stack" });
  #action = h("div", { class: "stack" });
  #more = h("div", { class: "stack" });
  #list;
  #input;
  #drawn = null;

  constructor({ app, facts, entry, wanted }) {
    this.#app = app;
    this.#facts = facts;
    this.#entry = entry;
    this.#wanted = wanted;
    this.#list = new PhotoList({ app, title: say("photo.see"), entry: entry.id, changed: (rows) => this.#drawWay(rows) });
    // The button below opens it: one control, as large and as loud as the others.
    this.#input = h("input", { type: "file", accept: PICTURES, capture: "environment", hidden: true, "aria-label": say("photo.take"), on: { change: () => this.#chosen() } });
  }

  async screen() {
    await this.#list.look();
    return {
      title: say("photo.title"), area: "next", heard: () => this.#list.look(),
      body: [this.#place, this.#list.element, this.#more, this.#input], action: this.#action,
    };
  }

  #explained() {
    return [
      h("p", { class: "lead" }, say("photo.free")),
      h("ul", { class: "facts" }, POINTS.map((name) => h("li", {}, say(`photo.${name}`)))),
      h("p", { class: "card notice" }, say("photo.urgent")),
    ];
  }

  // What comes next, unless a picture is being looked at.
  #drawWay(rows) {
    const kept = rows.filter(({ state }) => state === "waiting" || state === "sent").length;
    if (this.#picture || this.#drawn === kept) return;
    this.#drawn = kept;
    const first = this.#wanted && kept === 0;
    const back = (words, kind) => link(say(words), "#next", { class: `button ${kind}` });
    swap(this.#place, first ? this.#explained() : h("p", { class: "card notice" }, say("photo.urgent")));
    swap(this.#more, first ? back("form.back_to_next", "wide") : this.#another(kept));
    swap(this.#action, first ? button(say("photo.take"), () => this.#take(), { class: "button primary" }) : back("form.ok", "primary"));
  }

  #another(kept) {
    if (!this.#wanted) return null;
    return kept < MOST.check ? button(say("photo.another"), () => this.#take(), { class: "button wide" }) : h("p", { class: "hint" }, say("photo.enough"));
  }

  #take() {
    this.#input.value = ""; // or the same file twice would be no change
    this.#input.click();
  }

  async #chosen() {
    const [file] = this.#input.files;
    if (!file) return;
    this.#app.frame.tell(say("photo.works"));
    const picture = await shrunk(file);
    if (!picture) return this.#app.frame.tell(say("photo.no_picture"));
    this.#app.frame.tell("");
    this.#picture = { ...picture, id: this.#app.store.entries.newId() };
    this.#look();
  }

  #look() {
    const { canvas } = this.#picture;
    canvas.setAttribute("role", "img");
    canvas.setAttribute("aria-label", say("photo.preview"));
    canvas.className = "photo";
    swap(this.#place, h("h2", { tabindex: "-1" }, say("photo.good")), canvas,
      h("div", { class: "two" }, button(say("photo.again"), () => this.#take()), button(say("photo.leave"), () => this.#discard())));
    swap(this.#more);
    swap(this.#action, button(say("photo.keep"), this.#app.once(() => this.#keep()), { class: "button primary" }));
    const heading = this.#place.querySelector("h2");
    heading.focus();
    heading.scrollIntoView({ block: "start" });
  }

  #over() {
    this.#picture = null;
    this.#drawn = null;
    return this.#list.look();
  }

  async #discard() {
    await this.#over();
    document.querySelector("h1").focus();
  }

  async #keep() {
    const { id, bytes } = this.#picture;
    const { phone_id } = this.#facts.meta;
    const why = (await hasRoom()) ? await this.#app.store.photos.keep({ id, entry_id: this.#entry.id, phone_id, bytes }) : "full";
    if (why) return this.#app.frame.tell(say(LEFT.has(why) ? `photo.${why}` : "photo.not_kept"));
    await this.#over();
    this.#list.focus();
    this.#app.frame.tell(say("photo.kept"));
    return this.#app.saved();
  }
}

export async function photoScreen(app, [id]) {
  const facts = await app.facts();
  const entry = facts.entries.find((one) => one.id === id);
  const wanted = takesPhotos(facts, entry);
  if (!entry || (!wanted && !(await photosHere(app, id)).length)) return app.go("#next");
  return new Taking({ app, facts, entry, wanted }).screen();
}

// All of them, to be removed also when their check is long ago.
export async function photosScreen(app) {
  const list = new PhotoList({ app });
  const none = h("p", { class: "lead" }, say("photo.none"));
  const rows = await list.look();
  none.hidden = rows.length > 0;
  return {
    title: say("photo.all"), area: "call", heard: () => list.look(),
    body: [none, list.element, link(say("settings.title"), "#settings")],
  };
}
