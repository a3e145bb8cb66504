// Whatever answers in the clinic's place confirms nothing.
import assert from "node:assert/strict";
import { test } from "node:test";
import { answer } from "./clinic.js";
import { TYPE, paired, receiptLike, states } from "./paired.js";
import { MORNING } from "./world.js";

// Every answer that is not our receipt confirms nothing.
const FORGERIES = {
  "a captive portal's page": () => answer(200, "<html>Welcome to Wi-Fi</html>", "text/html"),
  "an empty 200": () => answer(200, "", "text/plain"),
  "a reply cut in its middle": (data) => answer(200, JSON.stringify(receiptLike(data)).slice(0, 80), TYPE),
  "plain JSON of another type": (data) => answer(200, receiptLike(data)),
  "another request's nonce": (data) => answer(200, receiptLike(data, { nonce: "x" }), TYPE),
  "another log's identity": (data) => answer(200, receiptLike(data, { log_identity: "log-9" }), TYPE),
  "another hash": (data) => answer(200, receiptLike(data, { receipts: receiptLike(data).receipts.map((one) => ({ ...one, sha256: "0".repeat(64) })) }), TYPE),
  "an id that was not sent": (data) => answer(200, receiptLike(data, { receipts: receiptLike(data).receipts.map((one) => ({ ...one, id: "0190a000-0000-7000-8000-00000000ffff" })) }), TYPE),
  "an unknown outcome": (data) => answer(200, receiptLike(data, { receipts: receiptLike(data).receipts.map((one) => ({ ...one, outcome: "ok" })) }), TYPE),
  "status 201": (data) => answer(201, receiptLike(data), TYPE),
  "a 500": () => answer(500, "oops", "text/html"),
  "a 511 of a gateway": () => answer(511, "login", "text/html"),
  "a gateway's 401": () => answer(401, "no", "text/html"),
  "no network": () => { throw new TypeError("Failed to fetch"); },
};

for (const [name, forge] of Object.entries(FORGERIES)) {
  test(`${name} confirms nothing, and the next good round does`, async () => {
    const { clinic, store, save, engine } = await paired();
    await save("morning_check", MORNING);
    clinic.fault = ({ address, data }, serve) => (address.endsWith("/push/") ? forge(data) : serve());
    const outcome = await engine.round();
    assert.notEqual(outcome.state, "settled");
    assert.equal(clinic.stored.size, 0);
    assert.ok((await states(store)).every((state) => ["stored", "offered"].includes(state)));
    assert.equal(await store.meta.get("pairing"), "active");

    clinic.fault = null;
    assert.equal((await engine.round()).state, "settled");
    assert.deepEqual(await states(store), ["confirmed"]);
    assert.equal(clinic.stored.size, 1);
  });
}

test("a forged receipt of another log makes the phone offer nothing again", async () => {
  const { clinic, store, save, engine } = await paired();
  await save("morning_check", MORNING);
  await engine.round();
  await save("morning_check", MORNING);
  clinic.fault = ({ address, data }, serve) => (address.endsWith("/push/") ? answer(200, receiptLike(data, { log_identity: "log-9" }), TYPE) : serve());
  assert.equal((await engine.round()).state, "no_sense");
  assert.deepEqual((await states(store)).sort(), ["confirmed", "offered"]);
});
