// When photos go: after a round that settled, under the same lease, with a time
// of their own. The next round does not wait for them: they step aside at once.
import { withDeadline } from "../store/db.js";

const TURN_MS = 60_000;
const ASIDE_MS = 300; // a store that is silent is not waited for

export class PhotoTurn {
  #api;
  #lease;
  #sender;
  #timer;
  #told;
  #turn = 0;
  #going = null;

  // `told()` hears when the state of a photo changed.
  constructor({ api, lease, sender, timer, told }) {
    this.#api = api;
    this.#lease = lease;
    this.#sender = sender;
    this.#timer = timer;
    this.#told = told;
  }

  // Never rejects: whatever becomes of a photo, the round before it was good.
  // One turn at a time: what is begun meanwhile is the one that goes already.
  begin() {
    if (this.#going) return this.#going;
    const turn = (this.#turn += 1);
    const going = this.#run(() => turn === this.#turn).catch(() => {})
      .then(() => { if (this.#going === going) this.#going = null; });
    this.#going = going;
    return going;
  }

  async #run(goes) {
    if (!(await this.#sender.open()).length || !goes()) return;
    const changed = await this.#lease.during(() => this.#api.within(TURN_MS, () => this.#sender.run(goes)));
    if (changed === true) this.#told();
  }

  async aside() {
    this.#turn += 1;
    this.#api.stop();
    const going = this.#going;
    if (!going) return;
    this.#going = null;
    this.#lease.release();
    await withDeadline(this.#timer, ASIDE_MS, (resolve) => { going.then(resolve); }).catch(() => {});
  }
}
