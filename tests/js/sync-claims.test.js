// When a phone may say that it holds nothing unsent, and from when that is.
import assert from "node:assert/strict";
import { test } from "node:test";
import { answer } from "./clinic.js";
import { paired, states } from "./paired.js";
import { CALF, MORNING } from "./world.js";

test("nothing is claimed while something stays unsent, and all when nothing does", async () => {
  const { clinic, save, engine } = await paired();
  clinic.limits = { entries: 2, bytes: 262_144 };
  await engine.round(); // learns the limit
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  clinic.requests.length = 0;
  await engine.round();
  const sent = clinic.pushes().map(({ data }) => [data.entries.length, data.claim?.high ?? null]);
  assert.deepEqual(sent, [[2, null], [1, 3]]);
});

// When a claim is from: the clinic's own time and what has run on since, so that
// neither a wrong clock nor a slow way can date it later than it was.
const claims = (clinic) => clinic.pushes().map(({ data }) => data.claim?.heard_ms ?? null);

test("the first claim waits for the clinic's time, in a second message", async () => {
  const { clinic, engine } = await paired();
  clinic.serverMs = 1_000_000;
  await engine.round();
  assert.deepEqual(claims(clinic), [null, 1_000_000]);
});

test("a later claim is dated by what the clinic said and the time that ran since", async () => {
  const { clinic, engine, clock } = await paired();
  clinic.serverMs = 1_000_000;
  await engine.round();
  clock.pass(90_000);
  clinic.requests.length = 0;
  await engine.round();
  assert.deepEqual(claims(clinic), [1_090_000]);
});

const UNSURE = {
  "the clock was set": (clock) => { clock.ms += 3_600_000; },
  "the phone slept": (clock) => { clock.ms += 3_600_000; clock.mono += 1_000; },
  "the clinic was last heard long ago": (clock) => clock.pass(700_000),
};
for (const [name, happens] of Object.entries(UNSURE)) {
  test(`${name}: the claim waits for the clinic's time again`, async () => {
    const { clinic, engine, clock } = await paired();
    await engine.round();
    happens(clock);
    clinic.serverMs = 5_000_000;
    clinic.requests.length = 0;
    await engine.round();
    assert.deepEqual(claims(clinic), [null, 5_000_000]);
  });
}

test("an entry saved while the message was on its way is not behind the claim", async () => {
  const { clinic, save, engine, clock } = await paired();
  clinic.serverMs = 1_000_000;
  await engine.round();
  clinic.requests.length = 0;
  let savedAt = null;
  clinic.fault = async ({ address }, serve) => {
    if (address.endsWith("/push/") && savedAt === null) {
      clock.pass(10_000); // composed, then slow on its way
      await save("morning_check", MORNING);
      savedAt = 1_010_000;
    }
    return serve();
  };
  await engine.round();
  assert.ok(claims(clinic)[0] < savedAt);
});

test("one entry no server takes does not hold up its neighbours, and nothing is claimed", async () => {
  const { clinic, store, save, engine } = await paired();
  for (let at = 0; at < 4; at += 1) await save("morning_check", MORNING);
  await save("note_to_clinic", { text: "poison", wants_contact: false });
  for (let at = 0; at < 4; at += 1) await save("morning_check", MORNING);
  const poisoned = ({ data }) => data?.entries?.some(({ body }) => body.includes("poison"));
  clinic.fault = (request, serve) => (poisoned(request) ? answer(413, { code: "too_large" }) : serve());
  assert.equal((await engine.round()).state, "stuck");
  assert.equal(clinic.stored.size, 8);
  assert.deepEqual((await states(store)).filter((state) => state !== "confirmed"), ["offered"]);
  assert.deepEqual(clinic.claims, []);
});

test("nothing is claimed beside a stop report while other numbers wait", async () => {
  const { clinic, save, engine } = await paired();
  await engine.round();
  await save("morning_check", MORNING);
  await save("stop_report", CALF);
  const before = clinic.pushes().length;
  await engine.round();
  const claims = clinic.pushes().slice(before).map(({ data }) => Boolean(data.claim));
  assert.deepEqual(claims, [false, true]);
});
