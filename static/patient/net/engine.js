// Wires the parts of the sync together from what the outside gives.
import { uuidv7 } from "../model/uuid.js";
import { Api } from "./api.js";
import { Lease } from "./lease.js";
import { Pacer } from "./pacer.js";
import { Pairing } from "./pairing.js";
import { Pull } from "./pull.js";
import { Push } from "./push.js";
import { Round } from "./round.js";

export function makeEngine({ store, fetch, timer, clock, random, locks, build, tell = () => {} }) {
  const id = () => uuidv7(clock.now(), random(10));
  const api = new Api({ fetch, timer, clock });
  const pairing = new Pairing({ api, store, clock });
  const push = new Push({ api, store, clock, nonce: id, build });
  const pull = new Pull({ api, store });
  const round = new Round({ store, push, pull, pairing, clock });
  const lease = new Lease({ locks, meta: store.meta, clock, tab: id() });
  const run = () => lease.during(() => round.run());
  const chance = () => random(1)[0] / 256;
  return { pairing, round: run, pacer: new Pacer({ run, timer, chance, tell }) };
}
