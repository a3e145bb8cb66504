// One syncing tab at a time, for politeness: two at once must be harmless.

const LOCK = "boutwise-sync";
const LEASE_MS = 30_000;
const OVERDUE_MS = 60_000;

export class Lease {
  #locks;
  #meta;
  #clock;
  #tab;
  #free = () => {};

  constructor({ locks, meta, clock, tab }) {
    this.#locks = locks;
    this.#meta = meta;
    this.#clock = clock;
    this.#tab = tab;
  }

  // Runs `work` and gives its result, or {state: "elsewhere"}. A frozen tab
  // keeps its lock; after its lease is long overdue we go on without it.
  async during(work) {
    if (!this.#locks) return this.#leased(work);
    let outcome = null;
    const released = new Promise((resolve) => { this.#free = resolve; });
    await this.#locks.request(LOCK, { ifAvailable: true }, (lock) => {
      if (!lock) return null;
      outcome = this.#marked(work);
      return Promise.race([outcome, released]);
    });
    return outcome ?? this.#leased(work, OVERDUE_MS);
  }

  // The page is out of sight and may be frozen: others may go on. What runs
  // here may still end well; two at once are harmless.
  release() {
    this.#free();
  }

  async #leased(work, overdue = 0) {
    const now = this.#clock.now();
    const lease = await this.#meta.get("lease");
    const free = !lease || lease.tab === this.#tab || now > lease.until + overdue
      || lease.until > now + OVERDUE_MS; // written under a clock that was set back since
    return free ? this.#marked(work) : { state: "elsewhere" };
  }

  async #marked(work) {
    await this.#meta.set({ lease: { tab: this.#tab, until: this.#clock.now() + LEASE_MS } });
    try {
      return await work();
    } finally {
      await this.#meta.change("lease", (lease) => (lease?.tab === this.#tab ? null : undefined));
    }
  }
}
