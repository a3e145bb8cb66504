// A phone without a browser: its own database factory, clock, timers, chance.
import { IDBFactory, IDBKeyRange } from "fake-indexeddb";
import { makeEngine } from "../../static/patient/net/engine.js";
import { openStore } from "../../static/patient/store/open.js";

globalThis.IDBKeyRange = IDBKeyRange;

export const MONDAY_9 = Date.UTC(2030, 2, 4, 8, 0, 0); // 09:00 in the room, one hour east

export function makeClock(start = MONDAY_9) {
  const clock = {
    ms: start,
    run: "run-1",
    mono: 0,
    now: () => clock.ms,
    reading: () => ({
      now_ms: clock.ms, mono_ms: clock.mono, run: clock.run, offset_min: 60, zone: "Europe/Paris",
    }),
    pass: (ms) => { clock.ms += ms; clock.mono += ms; },
  };
  return clock;
}

// Real, short waits: deadlines of `from` ms and more are divided by `speed`. The
// store's own (3 and 4 s) stay real where a test is not about them, so that a
// busy machine is not taken for a store that does not answer.
export function makeTimer(speed = 1, from = 0) {
  return {
    set: (act, ms) => setTimeout(act, ms < from ? ms : ms / speed),
    clear: (wait) => clearTimeout(wait),
    every: () => null,
  };
}

export function makeRandom(seed = 1) {
  let state = seed;
  return (count) => Uint8Array.from({ length: count }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state >>> 24;
  });
}

export function makePhone({ fetch, factory = new IDBFactory(), second, clock = makeClock(), timer = makeTimer(), seed = 1, locks = null } = {}) {
  const random = makeRandom(seed);
  const store = openStore({ factory, second, timer, clock, random });
  const engine = fetch ? makeEngine({ store, fetch, timer, clock, random, locks, build: "test" }) : null;
  return { store, clock, factory, timer, engine, save: saver(store) };
}

export const PLACE = Object.freeze({
  phone_id: "0190a000-0000-7000-8000-000000000001",
  episode_id: "0190a000-0000-7000-8000-0000000000e1",
  revision_id: null,
  for_date: "2030-03-04",
  logged_by: { who: "patient" },
});

function saver(store) {
  return async (kind, payload, more = {}) => {
    const outcome = await store.entries.save({ id: store.entries.newId(), kind, payload, place: PLACE, ...more });
    await outcome.copy?.();
    return outcome;
  };
}

export const MORNING = Object.freeze({ swelling: "none", knee_pain: 2 });
export const CALF = Object.freeze({ symptoms: ["calf_pain"] });
