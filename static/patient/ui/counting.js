// A count that runs: reads the clocks, keeps the record in the bout's draft and
// tells what there is to show. It holds no time of its own.
import { advanced, begun, confirmed, countIn, goneOn, movedTo, otherRan_ms, paused, skipped } from "../model/count.js";
import { linedUp_s, phaseAt } from "../model/phase.js";
import { canSkip, exerciseAt } from "../model/shares.js";

const LOOK_MS = 100;
// Whatever brings the page back: look at once, not at the next turn.
const BACK = [["visibilitychange", document], ["resume", document], ["pageshow", globalThis], ["focus", globalThis]];

export class Counting {
  #app;
  #revision;
  #draft;
  #show;
  #count;
  #away = false;
  #kept = 0;
  #wait = null;
  #listener = new AbortController();

  // `show(now)` after every look.
  constructor({ app, revision, draft, show }) {
    this.#app = app;
    this.#revision = revision;
    this.#draft = draft;
    this.#show = show;
    this.#count = countIn(draft.value);
  }

  get begun() {
    return this.#count !== null;
  }

  begin() {
    this.#count = begun(this.#app.clock.reading());
    this.#run();
    return this.#keep();
  }

  // Goes on with what the draft holds.
  resume() {
    this.#away = true;
    this.#run();
  }

  #run() {
    const { signal } = this.#listener;
    for (const [event, from] of BACK) from.addEventListener(event, () => this.#back(), { signal });
    document.addEventListener("freeze", () => { this.#away = true; }, { signal });
    this.#wait = setInterval(() => this.look(), LOOK_MS);
    this.look();
  }

  #back() {
    if (document.hidden) {
      this.look();
      this.#keep();
    }
    this.#away = true;
    this.look();
  }

  // Another screen comes; the time runs on and the draft knows from when.
  stop() {
    if (this.#listener.signal.aborted) return;
    clearInterval(this.#wait);
    this.#listener.abort();
    if (this.#count) this.#keep();
  }

  // Reads the clocks; while the page is hidden it stays away.
  #advance() {
    const before = this.#count.doubt_ms;
    this.#count = advanced(this.#count, this.#app.clock.reading(), this.#away || document.hidden);
    this.#away = document.hidden;
    return this.#count.doubt_ms !== before;
  }

  look() {
    const doubted = this.#advance();
    const now = this.now();
    // A kill loses nothing but the clock's last reading; so keep one now and then.
    if (doubted || now.contraction !== this.#kept) this.#keep();
    this.#kept = now.contraction;
    this.#show(now);
  }

  #at(ran_ms) {
    const { skips } = this.#count;
    return phaseAt(this.#revision, ran_ms / 1000, (contraction) => exerciseAt(this.#revision, skips, contraction)?.tempo ?? null);
  }

  // `coming` is the contraction that the exercise shown belongs to: in the rest
  // it is the next one. `other` is where the other clock would put the count.
  now() {
    const { ran_ms, paused: rests, doubt_ms, skips } = this.#count;
    const now = this.#at(ran_ms);
    const coming = now.contraction + (now.phase === "rest" ? 1 : 0);
    const other = doubt_ms ? this.#at(otherRan_ms(this.#count)) : now;
    return {
      ...now, rests, coming, exercise: now.cue === "over" ? null : exerciseAt(this.#revision, skips, coming),
      skippable: canSkip(this.#revision, skips), total: this.#revision.contractions_per_bout,
      other: other.contraction === now.contraction ? null : { number: other.contraction, over: other.cue === "over" },
    };
  }

  // The count as it stands now, or null.
  result() {
    if (this.begun) this.#advance();
    return this.#count;
  }

  pause() { this.#change(paused); }

  goOn() { this.#change(goneOn); }

  lineUp() { this.#change((count) => movedTo(count, linedUp_s(this.#revision, count.ran_ms / 1000) * 1000)); }

  takeOther() { this.#change((count) => movedTo(count, otherRan_ms(count))); }

  itFits() { this.#change(confirmed); }

  skip() {
    const { exercise, coming } = this.now();
    this.#change((count) => skipped(count, exercise.code, coming));
  }

  #change(next) {
    this.#advance();
    this.#count = next(this.#count);
    this.#keep();
    this.look();
  }

  #keep() {
    this.#draft.value.count = this.#count;
    return this.#draft.write().catch(() => {});
  }
}
