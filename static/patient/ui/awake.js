// Keeps the screen lit while a bout is counted, where the phone allows it. It
// is a kindness, not a promise: the count goes on right on a dark screen.

export class Awake {
  #lock = null;
  #wanted = false;
  #told;

  // `told(lit)` whenever it becomes known whether the screen stays lit.
  constructor(told) {
    this.#told = told;
  }

  async hold() {
    this.#wanted = true;
    if (this.#lock && !this.#lock.released) return null;
    const lock = await navigator.wakeLock?.request("screen").catch(() => null) ?? null;
    this.#lock = lock;
    if (!this.#wanted) return this.release();
    this.#told(lock !== null);
    // The phone takes it back when the page is hidden or the battery is low.
    lock?.addEventListener("release", () => { if (this.#wanted && !document.hidden) this.#told(false); });
    return null;
  }

  // The page can be seen again.
  again() {
    if (this.#wanted) this.hold();
  }

  release() {
    this.#wanted = false;
    this.#lock?.release().catch(() => {});
    this.#lock = null;
    return null;
  }
}
