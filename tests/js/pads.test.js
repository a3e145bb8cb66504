// The pads of a limb as a phone knows them, however old the set is.
import assert from "node:assert/strict";
import { test } from "node:test";
import { addDays } from "../../static/patient/model/day.js";
import { padsHere, readFacts } from "../../static/patient/ui/facts.js";
import { eachCase } from "./cases.js";
import { PLACE, makePhone } from "./world.js";

const TODAY = "2030-03-04";
const EPISODE = PLACE.episode_id;
const REVISION = { id: "r1", number: 1, first_day: "2029-03-01", effective_from: "2029-03-01", weekdays: [0, 2, 4], bouts_per_day: 1, exercises: [] };
const PROGRAM = { id: "p1", state: "active", ended_on: null, episode: { id: EPISODE, limb: "left" }, pauses: [], revisions: [REVISION] };

const BOUT = {
  ended_early: null, minutes: 15, contractions: 15, intensity: [{ channel: 1, value: 42, unit: "mA" }],
  exercises: [], discomfort: 4, knee_pain_before: 2, knee_pain_after: 3,
};

async function phoneWith({ bouts, newAgo = null, effective_from = REVISION.effective_from }) {
  const { store, clock, save } = makePhone();
  await store.meta.set({ phone_id: PLACE.phone_id });
  await store.record.apply({ cursor: "1", changes: [{ type: "program", program: { ...PROGRAM, revisions: [{ ...REVISION, effective_from }] } }] });
  const on = (ago) => ({ place: { ...PLACE, for_date: addDays(TODAY, -ago) } });
  if (newAgo !== null) await save("note_to_clinic", { text: "New pads.", wants_contact: false, pads: "new" }, on(newAgo));
  for (const ago of bouts) await save("bout", { ...BOUT, started_at: `${addDays(TODAY, -ago)}T08:00` }, { id: `bout-${ago}`, ...on(ago) });
  const facts = await readFacts({ store, clock });
  return { store, save, clock, on, pads: facts.pads[EPISODE], whole: () => padsHere({ store }, facts, facts.programs[0], true) };
}

const thriceAWeek = (count) => Array.from({ length: count }, (_, at) => Math.floor((at * 7) / 3));

test("three bouts a week wear out a set that is older than what a start reads", async () => {
  const { pads } = await phoneWith({ bouts: thriceAWeek(20), newAgo: 60 });

  assert.deepEqual([pads.uses, pads.due, pads.new_on], [20, true, addDays(TODAY, -60)]);
});

test("a set that was told as new long ago is not called untold", async () => {
  const { pads } = await phoneWith({ bouts: [0, 2, 4], newAgo: 200 });

  assert.deepEqual([pads.uses, pads.due, pads.new_on], [3, false, addDays(TODAY, -200)]);
});

test("a bout of long ago that was taken back is no use", async () => {
  const phone = await phoneWith({ bouts: [70, 60, 50] });
  await phone.save("withdrawal", { of: "bout-70", reason: "twice" }, phone.on(70));

  const facts = await readFacts(phone);

  assert.equal(facts.pads[EPISODE].uses, 2);
});

test("of pads that are due anyway the whole life is counted only where it is asked for", async () => {
  const { pads, whole } = await phoneWith({ bouts: Array.from({ length: 60 }, (_, at) => at), newAgo: 100 });

  assert.equal(pads.due, true);
  assert.deepEqual(await whole().then(({ uses, new_on }) => [uses, new_on]), [60, addDays(TODAY, -100)]);
});

test("nothing is read of the days before the program", async () => {
  const { pads } = await phoneWith({ bouts: [0, 50], effective_from: addDays(TODAY, -30) });

  assert.equal(pads.uses, 1);
});

// tests/services/test_pads_life.py asks the clinic the same.
eachCase("pads-life.json", async ({ bouts, withdrawn, ...news }) => {
  const { store, save, clock, on } = await phoneWith({ bouts: [] });
  const every = [...bouts.map((ago) => ["bout", ago]), ...Object.entries(news).flatMap(([told, days]) => days.map((ago) => [told, ago]))];
  for (const [what, ago] of every.sort(([, a], [, b]) => b - a)) {
    const told = { id: `${what}-${ago}`, ...on(ago) };
    if (what === "bout") await save("bout", { ...BOUT, started_at: `${addDays(TODAY, -ago)}T08:00` }, told);
    else await save("note_to_clinic", { text: "Pads.", wants_contact: false, pads: what }, told);
  }
  for (const of of withdrawn) await save("withdrawal", { of, reason: "slip" }, on(Number(of.split("-")[1])));

  const facts = await readFacts({ store, clock });
  const whole = await padsHere({ store }, facts, facts.programs[0], true);
  const new_ago = whole.new_on && news.new.find((ago) => addDays(TODAY, -ago) === whole.new_on);
  return { uses: whole.uses, new: new_ago, due: facts.pads[EPISODE].due, wont_stick: whole.wont_stick };
});
