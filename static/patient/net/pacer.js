// When to sync: at once when something happened, later and later after
// failures. `navigator.onLine` is never asked; only answers count.

const BASE_S = 2;
const CAP_S = 300;
const CLAMP_S = 3_600;
const EVERY_MS = 60_000;
const ELSEWHERE_S = 10; // the other tab may be the one that was left
const GOOD = new Set(["settled", "elsewhere", "unpaired"]);

// Full jitter: anything between nothing and the doubled wait.
export function backoffMs(failures, chance) {
  return chance * Math.min(CAP_S, BASE_S * 2 ** failures) * 1_000;
}

export class Pacer {
  #run;
  #timer;
  #chance;
  #tell;
  #failures = 0;
  #vain = 0;
  #wait = null;
  #watch = null;
  #running = null;
  #again = false;

  // `run()` is one round; `tell(outcome)` hears how it ended.
  constructor({ run, timer, chance, tell }) {
    this.#run = run;
    this.#timer = timer;
    this.#chance = chance;
    this.#tell = tell;
  }

  // Rounds in a row that failed, whatever made us try anew.
  get vain() {
    return this.#vain;
  }

  // Something happened: a save, a start, a wake-up, a tap. While a round runs
  // the wish is kept, because the running one may have missed the new entry.
  now({ reset = false } = {}) {
    if (reset) this.#failures = 0;
    this.#again = this.#running !== null;
    this.#running ??= this.#round().finally(() => {
      this.#running = null;
      if (this.#again) this.now();
    });
    return this.#running;
  }

  // While the page is visible: look every minute, so that no wait is for ever.
  watch(needed) {
    this.#watch ??= this.#timer.every(() => {
      if (this.#wait === null && this.#running === null && needed()) this.now();
    }, EVERY_MS);
  }

  async #round() {
    if (this.#wait !== null) this.#timer.clear(this.#wait);
    this.#wait = null;
    this.#again = false;
    this.#tell({ state: "running" });
    const outcome = await this.#run().catch((error) => ({ state: "failed", error }));
    const good = GOOD.has(outcome.state);
    this.#failures = good ? 0 : this.#failures + 1;
    this.#vain = good ? 0 : this.#vain + 1;
    this.#plan(outcome);
    this.#tell(outcome);
    return outcome;
  }

  // A senseless Retry-After cannot park a phone for longer than an hour.
  #plan({ state, retry_after_s }) {
    const told_s = state === "elsewhere" ? ELSEWHERE_S : retry_after_s;
    const told = told_s ? Math.min(told_s, CLAMP_S) * 1_000 : null;
    if (GOOD.has(state) && told === null) return;
    const wait = told ?? backoffMs(this.#failures, this.#chance());
    this.#wait = this.#timer.set(() => { this.#wait = null; this.now(); }, wait);
  }
}
