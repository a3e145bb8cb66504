// Reminders on this phone: owner, browser and clinic brought together.
import assert from "node:assert/strict";
import { test } from "node:test";
import { offerDue } from "../../static/patient/model/reminder-offer.js";
import { Api } from "../../static/patient/net/api.js";
import { Reminding } from "../../static/patient/net/reminding.js";
import { makeClock, makePhone, makeTimer } from "./world.js";

const KEY = "clinic-key-1";

// A browser that can push: one subscription at a time, bound to a key.
function makeBrowser(more = {}) {
  const browser = {
    language: null, subscription: null, made: 0, answer: "granted", allowed: "default", mark: undefined,
    can: () => true,
    permission: () => browser.allowed,
    ask: async () => (browser.allowed = browser.answer),
    kept: async () => browser.language !== null,
    keep: async (language) => { browser.language = language; },
    drop: async () => { browser.language = null; },
    stopped: async () => browser.mark,
    settle: async () => { browser.mark = undefined; },
    current: async () => browser.subscription,
    subscribed: async (key) => {
      if (browser.subscription?.key === key) return browser.subscription;
      browser.made += 1;
      browser.subscription = { key, endpoint: `https://push.example/${browser.made}`, unsubscribe: async () => { browser.subscription = null; } };
      return browser.subscription;
    },
    ...more,
  };
  return browser;
}

// A clinic that remembers what it was told last; `down` is a phone without a network.
function makeClinic() {
  const clinic = { key: KEY, told: null, down: false, refuse: 200, asked: [], stops: [], stopped: false };
  clinic.fetch = async (url, { method, body }) => {
    clinic.asked.push(method);
    if (clinic.down) throw new TypeError("Failed to fetch");
    const answer = (status, data) => new Response(data ? JSON.stringify(data) : null, { status, headers: { "Content-Type": "application/json" } });
    if (url.endsWith("/reminders/stop/")) {
      if (method === "POST") { clinic.stops.push(JSON.parse(body)); clinic.stopped = true; }
      return answer(200, { stopped: clinic.stopped });
    }
    if (method === "DELETE") { clinic.told = null; return answer(204); }
    if (method === "GET") return answer(200, { key: clinic.key, on: Boolean(clinic.told) });
    if (clinic.refuse !== 200) return answer(clinic.refuse, { code: "endpoint_refused" });
    clinic.told = JSON.parse(body).endpoint;
    return answer(200, { key: clinic.key, on: true });
  };
  return clinic;
}

function makeReminding(more, { paired = true } = {}) {
  const { store } = makePhone();
  if (paired) store.meta.set({ phone_id: "one" });
  const browser = makeBrowser(more);
  const clinic = makeClinic();
  const api = new Api({ fetch: clinic.fetch, timer: makeTimer(), clock: makeClock() });
  return { browser, clinic, meta: store.meta, reminding: new Reminding({ api, meta: store.meta, browser }) };
}

test("turned on, the clinic knows where to remind, and the worker in which language", async () => {
  const { reminding, browser, clinic } = makeReminding();
  assert.equal(await reminding.stands(), "off");
  assert.equal(await reminding.turnOn("es"), "on");
  assert.equal(clinic.told, "https://push.example/1");
  assert.equal(browser.language, "es");
});

test("said again at every start it stays one subscription", async () => {
  const { reminding, browser } = makeReminding();
  await reminding.turnOn("en");
  for (let at = 0; at < 3; at += 1) assert.equal(await reminding.agree(), "on");
  assert.equal(browser.made, 1);
});

test("without a network it waits, and the next start makes it good", async () => {
  const { reminding, clinic } = makeReminding();
  clinic.down = true;
  assert.equal(await reminding.turnOn("en"), "waits");
  clinic.down = false;
  assert.equal(await reminding.agree(), "on");
  assert.equal(clinic.told, "https://push.example/1");
});

test("a no to the browser's question is no, and nothing is kept", async () => {
  const { reminding, browser, clinic } = makeReminding({ answer: "denied" });
  browser.answer = "denied";
  assert.equal(await reminding.turnOn("en"), "denied");
  assert.equal(browser.language, null);
  assert.deepEqual(clinic.asked, []);
});

test("a question that was put away leaves it off", async () => {
  const { reminding, browser } = makeReminding();
  browser.answer = "default";
  assert.equal(await reminding.turnOn("en"), "off");
});

test("a phone that is not paired asks the clinic nothing", async () => {
  const { reminding, clinic } = makeReminding({}, { paired: false });
  assert.equal(await reminding.agree(), "off");
  assert.deepEqual(clinic.asked, []);
});

test("turned off, browser and clinic forget it", async () => {
  const { reminding, browser, clinic } = makeReminding();
  await reminding.turnOn("en");
  assert.equal(await reminding.turnOff(), "off");
  assert.equal(browser.subscription, null);
  assert.equal(clinic.told, null);
});

test("turned off without a network the browser forgets it at once, the clinic later", async () => {
  const { reminding, browser, clinic } = makeReminding();
  await reminding.turnOn("en");
  clinic.down = true;
  await reminding.turnOff();
  assert.equal(browser.subscription, null);
  clinic.down = false;
  assert.equal(await reminding.agree(), "off");
  assert.equal(clinic.told, null);
});

// The worker's part of "No more reminders" without a network.
function stopFromNotice(browser, id = "0197a9c27d8e7a3c9b1e2f4d5c6b7a89") {
  browser.language = null;
  browser.subscription = null;
  browser.mark = id;
}

test("what was stopped from a notice is told to the clinic at the next start, once", async () => {
  const { reminding, browser, clinic } = makeReminding();
  await reminding.turnOn("en");
  stopFromNotice(browser);
  assert.equal(await reminding.stands(), "ending");
  for (let at = 0; at < 2; at += 1) await reminding.agree();
  assert.deepEqual(clinic.stops, [{ reminder: "0197a9c27d8e7a3c9b1e2f4d5c6b7a89" }]);
  assert.equal(clinic.told, null);
  assert.equal(await reminding.stands(), "ended");
});

test("the mark of a stop outlives a start without a network, turning off and a gateway", async () => {
  const { reminding, browser, clinic, meta } = makeReminding();
  await reminding.turnOn("en");
  stopFromNotice(browser, "");
  clinic.down = true;
  await reminding.agree();
  await reminding.turnOff();
  const portal = async () => new Response("<html>", { status: 200, headers: { "Content-Type": "text/html" } });
  await new Reminding({ api: new Api({ fetch: portal, timer: makeTimer(), clock: makeClock() }), meta, browser }).agree();
  assert.equal(await reminding.stands(), "ending");
  clinic.down = false;
  await reminding.agree();
  assert.deepEqual(clinic.stops, [{ reminder: null }], "a notice that held no id");
  assert.equal(browser.mark, undefined);
});

test("a stop that came another way is heard at the next start, and so is its end", async () => {
  const { reminding, clinic } = makeReminding();
  await reminding.turnOn("en");
  clinic.stopped = true;
  await reminding.agree();
  assert.equal(await reminding.stands(), "ended");
  clinic.down = true;
  await reminding.agree();
  assert.equal(await reminding.stands(), "ended", "no answer is no yes");
  clinic.down = false;
  clinic.stopped = false;
  await reminding.agree();
  assert.equal(await reminding.stands(), "on");
});

test("turning reminders off in the app is no stop", async () => {
  const { reminding, clinic } = makeReminding();
  await reminding.turnOn("en");
  await reminding.turnOff();
  await reminding.agree();
  assert.deepEqual(clinic.stops, []);
  assert.equal(await reminding.stands(), "off");
});

test("another key of the clinic asks for another subscription", async () => {
  const { reminding, clinic } = makeReminding();
  await reminding.turnOn("en");
  clinic.key = "clinic-key-2";
  assert.equal(await reminding.agree(), "on");
  assert.equal(clinic.told, "https://push.example/2");
});

test("a phone that was paired anew is not reminded until its owner wants it", async () => {
  const { reminding, browser, meta, clinic } = makeReminding();
  await reminding.turnOn("en");
  clinic.asked.length = 0;
  await meta.set({ push_on: null, push_told: null }); // what pairing anew does
  assert.equal(await reminding.agree(), "off");
  assert.equal(browser.subscription, null);
  assert.equal(browser.language, null);
});

test("a clinic that sends none, a service it does not know, a browser that gets none: each is told", async () => {
  const none = makeReminding();
  none.clinic.key = null;
  assert.equal(await none.reminding.turnOn("en"), "none");
  const unknown = makeReminding();
  unknown.clinic.refuse = 400;
  assert.equal(await unknown.reminding.turnOn("en"), "cannot");
  const failed = makeReminding({ subscribed: async () => { throw new DOMException("no service", "AbortError"); } });
  assert.equal(await failed.reminding.turnOn("en"), "failed");
  for (const { reminding } of [none, unknown, failed]) assert.equal(await reminding.stands(), "off");
});

test("a gateway's page is not taken for the clinic's word", async () => {
  const { store } = makePhone();
  const portal = async () => new Response("<html>", { status: 200, headers: { "Content-Type": "text/html" } });
  const api = new Api({ fetch: portal, timer: makeTimer(), clock: makeClock() });
  const behind = new Reminding({ api, meta: store.meta, browser: makeBrowser() });
  assert.equal(await behind.turnOn("en"), "waits");
});

test("a browser that can not push is asked nothing", async () => {
  const { reminding, clinic } = makeReminding({ can: () => false });
  assert.equal(await reminding.stands(), "cannot");
  assert.equal(await reminding.agree(), "cannot");
  assert.deepEqual(clinic.asked, []);
});

test("the worker hears of another language only where it reminds", async () => {
  const { reminding, browser } = makeReminding();
  await reminding.speak("es");
  assert.equal(browser.language, null);
  await reminding.turnOn("en");
  await reminding.speak("es");
  assert.equal(browser.language, "es");
});

async function askedForCalendar(fetch) {
  const { store } = makePhone();
  const api = new Api({ fetch, timer: makeTimer(), clock: makeClock() });
  return new Reminding({ api, meta: store.meta, browser: makeBrowser() }).calendar("18:30", "es");
}

const json = (status, data) => new Response(JSON.stringify(data), { status, headers: { "Content-Type": "application/json" } });

test("the calendar file is asked for by hour and language", async () => {
  const asked = [];
  const told = await askedForCalendar(async (url) => { asked.push(url); return json(200, { file: "BEGIN:VCALENDAR" }); });
  assert.deepEqual(told, { state: "file", file: "BEGIN:VCALENDAR" });
  assert.deepEqual(asked, ["/api/v1/calendar/?at=18%3A30&language=es"]);
});

test("with nothing due there is no calendar file", async () => {
  assert.deepEqual(await askedForCalendar(async () => json(200, { file: null })), { state: "none" });
});

const AWAY = {
  "without a network": async () => { throw new TypeError("Failed to fetch"); },
  "behind a page that asks to sign in": async () => new Response("<html>", { status: 200, headers: { "Content-Type": "text/html" } }),
  "once its access has ended": async () => json(401, { code: "phone_revoked" }),
};

for (const [where, fetch] of Object.entries(AWAY)) {
  test(`${where} no calendar file is made up`, async () => {
    assert.deepEqual(await askedForCalendar(fetch), { state: "away" });
  });
}

const bouts = (count) => Array.from({ length: count }, () => ({ kind: "bout" }));

test("it is offered after three bouts, once, and after a no not for a month", () => {
  const facts = { day: "2030-03-31", entries: bouts(3) };
  assert.equal(offerDue({}, { ...facts, entries: bouts(2) }), false);
  assert.equal(offerDue({}, facts), true);
  assert.equal(offerDue({ push_asked_on: "2030-03-02" }, facts), false);
  assert.equal(offerDue({ push_asked_on: "2030-03-01" }, facts), true);
  assert.equal(offerDue({ push_stopped: true }, facts), false);
  for (const push_on of [true, false]) assert.equal(offerDue({ push_on }, facts), false);
});

test("a look that a start has begun does not take back what a tap turns on meanwhile", async () => {
  const { reminding, browser } = makeReminding();
  const began = reminding.agree();
  // Later than the tap's own keeping, as a slow phone does it.
  const { drop } = browser;
  browser.drop = async () => { await new Promise((next) => { setTimeout(next, 20); }); return drop(); };

  const [, came] = await Promise.all([began, reminding.turnOn("en")]);

  assert.equal(came, "on");
  assert.equal(await reminding.stands(), "on");
});
