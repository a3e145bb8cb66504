// Another log, an older one, or one with holes: what is offered and fetched again.
import assert from "node:assert/strict";
import { test } from "node:test";
import { makeClinic } from "./clinic.js";
import { PHONE, paired, states } from "./paired.js";
import { MONDAY_9, MORNING, makePhone } from "./world.js";

test("a restored clinic with an older log is offered everything again", async () => {
  const { clinic, store, save, engine } = await paired();
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  await engine.round();
  clinic.stored.clear();
  clinic.identity = "log-2";
  assert.equal((await engine.round()).state, "settled");
  assert.equal(clinic.stored.size, 3);
  assert.equal(await store.meta.get("log_identity"), "log-2");
  assert.ok((await states(store)).every((state) => state === "confirmed"));
});

test("the same log whose numbers went backwards is offered what it lost", async () => {
  const { clinic, save, engine } = await paired();
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  await engine.round();
  const [first] = clinic.stored.keys();
  for (const id of [...clinic.stored.keys()]) if (id !== first) clinic.stored.delete(id);
  clinic.announced = 0;
  await engine.round();
  assert.equal(clinic.stored.size, 3);
});

test("a hole in the clinic's numbers is filled", async () => {
  const { clinic, save, engine } = await paired();
  for (const _ of [1, 2, 3]) await save("morning_check", MORNING);
  await engine.round();
  clinic.stored.delete([...clinic.stored.keys()][1]);
  await engine.round();
  assert.equal(clinic.stored.size, 3);
});

test("a pull that is cut goes on where its pages stopped", async () => {
  const { clinic, store, engine } = await paired();
  for (const id of ["h1", "h2", "h3", "h4", "h5"]) {
    clinic.tell({ type: "hold", hold: { id, entry_id: id, scope: "all", episode_id: null } });
  }
  let pulls = 0;
  clinic.fault = ({ address }, serve) => {
    if (address.includes("/pull/") && (pulls += 1) === 2) throw new TypeError("cut");
    return serve();
  };
  await engine.round();
  assert.equal((await store.record.safety()).placed.length, 2);
  clinic.fault = null;
  clinic.requests.length = 0;
  await engine.round();
  assert.equal((await store.record.safety()).placed.length, 5);
  assert.match(clinic.requests.find(({ address }) => address.includes("/pull/")).address, /log-1%3A2$/);
});

test("another log is fetched whole before anything of the old one goes", async () => {
  const { clinic, store, engine } = await paired();
  clinic.tell({ type: "hold", hold: { id: "old", entry_id: "old", scope: "all", episode_id: null } });
  await engine.round();
  clinic.identity = "log-2";
  clinic.changes.length = 0;
  for (const id of ["n1", "n2", "n3"]) clinic.tell({ type: "hold", hold: { id, entry_id: id, scope: "all", episode_id: null } });
  let pulls = 0;
  clinic.fault = ({ address }, serve) => {
    if (address.includes("/pull/") && (pulls += 1) === 2) throw new TypeError("cut");
    return serve();
  };
  await engine.round();
  assert.deepEqual((await store.record.safety()).placed.map(({ id }) => id), ["old"]);
  clinic.fault = null;
  await engine.round();
  assert.deepEqual((await store.record.safety()).placed.map(({ id }) => id), ["n1", "n2", "n3"]);
});

test("a wiped phone tells so although a restored clinic has heard nothing from it", async () => {
  const clinic = makeClinic({ phoneId: PHONE });
  clinic.age_s = 86_400;
  const wiped = makePhone({ fetch: clinic.fetch });
  await wiped.engine.pairing.ask();
  await wiped.engine.round();
  assert.ok(clinic.pushes().length);
  assert.ok(clinic.pushes().every(({ data }) => data.cleared_ms === MONDAY_9));
});

test("a restored clinic is offered confirmed entries of an earlier pairing too, once they were said to be mine", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  await engine.round();
  clinic.phoneId = "0190a000-0000-7000-8000-000000000077";
  await engine.pairing.redeem("BCDFG-HJKLM", "Phone");
  await store.meta.set({ earlier_mine: clinic.phoneId });
  await engine.round();
  clinic.stored.clear();
  clinic.announced = 0;
  clinic.identity = "log-2";
  await engine.round();
  assert.equal(clinic.stored.size, 1);
});

test("a clinic that lost rows under the same name is heard from its start", async () => {
  const { clinic, store, save, engine } = await paired();
  const hold = (id) => ({ type: "hold", hold: { id, entry_id: id, scope: "all", episode_id: null } });
  clinic.tell(hold("old"));
  for (const _ of [1, 2]) await save("morning_check", MORNING);
  await engine.round();
  clinic.stored.clear(); // a standby took over without its last commits
  clinic.announced = 0;
  clinic.changes.length = 0;
  clinic.tell(hold("new")); // under a version this phone believes to have
  await engine.round();
  assert.deepEqual((await store.record.safety()).placed.map(({ id }) => id), ["new"]);
  assert.equal(clinic.stored.size, 2);
});

test("entries of an earlier pairing that a restored log lacks are offered when said to be mine, others are not", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  await engine.round();
  clinic.phoneId = "0190a000-0000-7000-8000-000000000077";
  await engine.pairing.redeem("BCDFG-HJKLM", "Phone");
  await engine.round();
  assert.equal(await store.outbox.offerFromOtherLogs(await store.meta.all()), 0);
  clinic.stored.clear();
  clinic.announced = 0;
  clinic.identity = "log-2";
  await engine.round();
  assert.equal(await store.outbox.offerFromOtherLogs(await store.meta.all()), 1);
});
