// Whether this phone is reminded: what its owner wants, its browser can and the
// clinic knows are brought together here, as often as need be.

// `browser` is the browser's side: can, permission, ask, kept, keep, drop, stopped,
// settle, current, subscribed (ui/browser-push.js).
export class Reminding {
  #api;
  #meta;
  #browser;
  #last = Promise.resolve();

  constructor({ api, meta, browser }) {
    this.#api = api;
    this.#meta = meta;
    this.#browser = browser;
  }

  // One after the other, or the look at a start would take back what a tap turned on.
  #inTurn(act) {
    const done = this.#last.then(act);
    this.#last = done.catch(() => {});
    return done;
  }

  // cannot, denied, off, on, or waits: wanted, and the clinic does not know yet.
  // ended: the patient stopped them; ending: and the clinic does not know yet.
  async stands() {
    if (!this.#browser.can()) return "cannot";
    if ((await this.#browser.stopped()) !== undefined) return "ending";
    const { push_on, push_told, push_stopped } = await this.#meta.all();
    if (push_stopped) return "ended";
    if (this.#browser.permission() === "denied") return "denied";
    if (!push_on || !(await this.#browser.kept())) return "off";
    return push_told ? "on" : "waits";
  }

  // After our own words about it, and by a tap: now the browser may ask.
  async turnOn(language) {
    if ((await this.#browser.ask()) !== "granted") return this.stands();
    return this.#inTurn(async () => {
      await this.#browser.keep(language);
      await this.#meta.set({ push_on: true, push_told: false });
      return this.#look();
    });
  }

  // The browser forgets it at once; the clinic is told, or hears it at the next start.
  turnOff() {
    return this.#inTurn(() => this.#off());
  }

  async #off() {
    await this.#meta.set({ push_on: false });
    await this.#forget();
    const told = await this.#api.remove("subscription/");
    if (told.status === 204) await this.#meta.set({ push_told: false });
    return "off";
  }

  // At every start: a subscription may have been renewed, ended or stopped from
  // the notice itself, and the clinic may have another key. As `stands`, or
  // none (the clinic sends none) or failed (the browser got no subscription).
  async agree() {
    return this.#browser.can() ? this.#inTurn(() => this.#look()) : "cannot";
  }

  async #look() {
    const came = await this.#agreed();
    await this.#stops();
    return came;
  }

  async #agreed() {
    const { push_on, push_told } = await this.#meta.all();
    if (!push_on) return push_told ? this.#off() : this.#forget();
    if (!(await this.#browser.kept())) return this.#off();
    if (this.#browser.permission() !== "granted") return this.stands();
    const asked = await this.#api.get("subscription/");
    if (asked.status !== 200 || asked.body?.key === undefined) return this.stands();
    if (!asked.body.key) return this.#giveUp("none");
    const subscription = await this.#browser.subscribed(asked.body.key).catch(() => null);
    return subscription ? this.#tell(subscription) : this.#giveUp("failed");
  }

  // The due days for the phone's own calendar: {state: "file", file}, or why there is none.
  async calendar(at, language) {
    const asked = await this.#api.get(`calendar/?${new URLSearchParams({ at, language })}`);
    if (asked.status !== 200 || asked.body?.file === undefined) return { state: "away" };
    return asked.body.file ? { state: "file", file: asked.body.file } : { state: "none" };
  }

  // The worker speaks the phone's language too.
  async speak(language) {
    if (await this.#browser.kept()) await this.#browser.keep(language);
  }

  // Says what was stopped from a notice, and hears whether it is, however it was.
  async #stops() {
    const path = "reminders/stop/";
    const id = await this.#browser.stopped();
    if (id === undefined && !(await this.#meta.get("phone_id"))) return; // nobody is reminded here
    const { status, body } = await (id === undefined ? this.#api.get(path) : this.#api.post(path, { reminder: id || null }));
    if (status !== 200 || body?.stopped === undefined) return;
    await this.#meta.set({ push_stopped: body.stopped });
    if (id !== undefined) await this.#browser.settle();
  }

  async #tell(subscription) {
    const told = await this.#api.post("subscription/", subscription);
    if (told.status === 400) return this.#giveUp("cannot");
    await this.#meta.set({ push_told: told.status === 200 });
    return this.stands();
  }

  async #giveUp(why) {
    await this.#off();
    return why;
  }

  async #forget() {
    await this.#browser.drop();
    await (await this.#browser.current())?.unsubscribe();
    return "off";
  }
}
