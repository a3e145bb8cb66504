// Wires the parts of the sync together from what the outside gives.
import { uuidv7 } from "../model/uuid.js";
import { withDeadline } from "../store/db.js";
import { Api } from "./api.js";
import { Lease } from "./lease.js";
import { Pacer } from "./pacer.js";
import { Pairing } from "./pairing.js";
import { PhotoSender } from "./photo-sender.js";
import { PhotoTurn } from "./photo-turn.js";
import { Pull } from "./pull.js";
import { Push } from "./push.js";
import { Reminding } from "./reminding.js";
import { Round } from "./round.js";

const ROUND_MS = 30_000;
const LONGEST_MS = 60_000;

export function makeEngine({ store, fetch, timer, clock, random, locks, build, browser, tell = () => {}, photosTold = () => {} }) {
  const id = () => uuidv7(clock.now(), random(10));
  const api = new Api({ fetch, timer, clock });
  const pairing = new Pairing({ api, store, clock });
  const push = new Push({ api, store, clock, nonce: id, build });
  const pull = new Pull({ api, store });
  const round = new Round({ store, push, pull, pairing, clock });
  const lease = new Lease({ locks, meta: store.meta, clock, tab: id() });
  const photoApi = new Api({ fetch, timer, clock });
  const photos = new PhotoTurn({ api: photoApi, lease, sender: new PhotoSender({ api: photoApi, store, clock }), timer, told: photosTold });
  const polite = async () => {
    await photos.aside();
    return lease.during(() => api.within(ROUND_MS, () => round.run()));
  };
  // Whatever never answers (a lock, a database), the next round is free to run.
  const run = () => withDeadline(timer, LONGEST_MS, (resolve, reject) => { polite().then(resolve, reject); });
  const heard = (outcome) => {
    tell(outcome);
    if (outcome.state === "settled") photos.begin();
  };
  const chance = () => random(1)[0] / 256;
  return {
    pairing, round: run, reminding: new Reminding({ api, meta: store.meta, browser }), pacer: new Pacer({ run, timer, chance, tell: heard }), photos,
    hidden: () => lease.release(),
    left: () => { lease.release(); api.stop(); photoApi.stop(); },
  };
}
