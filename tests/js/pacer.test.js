import assert from "node:assert/strict";
import { test } from "node:test";
import { retryAfterSeconds } from "../../static/patient/net/api.js";
import { Pacer, backoffMs } from "../../static/patient/net/pacer.js";

function pacer(outcomes) {
  const waits = [];
  const told = [];
  const timer = { set: (act, ms) => { waits.push({ act, ms }); return waits.length; }, clear: () => {}, every: () => 1 };
  const run = async () => outcomes.shift() ?? { state: "settled" };
  return { waits, told, pacer: new Pacer({ run, timer, chance: () => 1, tell: (outcome) => told.push(outcome.state) }) };
}

test("the wait doubles from 4 s after the first failure and stops at 5 minutes", () => {
  assert.deepEqual([1, 2, 3, 7, 8, 50].map((failures) => backoffMs(failures, 1)), [4000, 8000, 16000, 256000, 300000, 300000]);
});

test("jitter is full: chance zero means no wait", () => {
  assert.equal(backoffMs(5, 0), 0);
});

test("a failure plans another try and a success does not", async () => {
  const { pacer: one, waits, told } = pacer([{ state: "offline" }]);
  await one.now();
  assert.deepEqual(waits.map(({ ms }) => ms), [4000]);
  waits[0].act();
  await one.now();
  assert.equal(waits.length, 1);
  assert.deepEqual(told, ["running", "offline", "running", "settled", "running", "settled"].slice(0, told.length));
});

for (const [said, waited] of [[30, 30_000], [315_360_000, 3_600_000]]) {
  test(`told to wait ${said} s, it waits ${waited} ms`, async () => {
    const { pacer: one, waits } = pacer([{ state: "busy", retry_after_s: said }]);
    await one.now();
    assert.deepEqual(waits.map(({ ms }) => ms), [waited]);
  });
}

test("a wish during a round runs another round after it", async () => {
  const { pacer: one, told } = pacer([]);
  const first = one.now();
  one.now();
  await first;
  await one.now();
  assert.ok(told.filter((state) => state === "settled").length >= 2);
});

test("a round that throws is a failure, not the end of all rounds", async () => {
  const { pacer: one, waits } = pacer([]);
  const broken = new Pacer({ run: async () => { throw new Error("bug"); }, timer: { set: (act, ms) => { waits.push({ ms }); return 1; }, clear: () => {} }, chance: () => 1, tell: () => {} });
  assert.equal((await broken.now()).state, "failed");
  assert.equal(waits.length, 1);
  assert.equal((await one.now()).state, "settled");
});

test("Retry-After is read in both forms and nonsense is no answer", () => {
  const now = Date.UTC(2030, 2, 4, 8, 0, 0);
  assert.equal(retryAfterSeconds("120", now), 120);
  assert.equal(retryAfterSeconds("Mon, 04 Mar 2030 08:02:00 GMT", now), 120);
  assert.equal(retryAfterSeconds("Mon, 04 Mar 2020 08:02:00 GMT", now), null);
  assert.equal(retryAfterSeconds("-5", now), null);
  assert.equal(retryAfterSeconds("soon", now), null);
  assert.equal(retryAfterSeconds(null, now), null);
});

test("rounds in vain are counted on, though a tap sets the waits back", async () => {
  const { pacer: one } = pacer([{ state: "offline" }, { state: "busy" }, { state: "offline" }, { state: "settled" }]);
  for (const _ of [1, 2, 3]) await one.now({ reset: true });
  assert.equal(one.vain, 3);
  await one.now();
  assert.equal(one.vain, 0);
});
