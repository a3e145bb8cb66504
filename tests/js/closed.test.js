// The clinic's closed days: by its own calendar, whatever the phone's zone.
import assert from "node:assert/strict";
import { test } from "node:test";
import { closedAt } from "../../static/patient/model/closed.js";

const DAYS = [{ first_day: "2030-12-24", last_day: "2030-12-26", answers: "Ines Roe" }];
const at = (zone, time, days = DAYS) => closedAt({ closed: { zone, days } }, Date.parse(time))?.answers ?? null;

test("both ends of a closure are closed, the days around it are not", () => {
  assert.equal(at("UTC", "2030-12-23T23:59:59Z"), null);
  assert.equal(at("UTC", "2030-12-24T00:00:00Z"), "Ines Roe");
  assert.equal(at("UTC", "2030-12-26T23:59:59Z"), "Ines Roe");
  assert.equal(at("UTC", "2030-12-27T00:00:00Z"), null);
});

test("the day is the clinic's, not the phone's and not UTC's", () => {
  assert.equal(at("Pacific/Auckland", "2030-12-23T11:00:00Z"), "Ines Roe", "midnight there: UTC+13 in summer");
  assert.equal(at("Pacific/Auckland", "2030-12-23T10:59:59Z"), null);
  assert.equal(at("America/Lima", "2030-12-27T04:59:59Z"), "Ines Roe", "UTC-5");
  assert.equal(at("America/Lima", "2030-12-27T05:00:00Z"), null);
});

test("a clinic that told of no closure is not called closed", () => {
  assert.equal(closedAt({ clinic_name: "Hill" }, 0), null);
  assert.equal(closedAt(null, 0), null);
  assert.equal(at("UTC", "2030-12-24T12:00:00Z", []), null);
});
