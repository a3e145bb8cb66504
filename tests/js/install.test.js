// Each kind of browser is taught what it can do.
import assert from "node:assert/strict";
import { test } from "node:test";
import { wayToInstall } from "../../static/patient/ui/install.js";

const SAFARI = "AppleWebKit/605.1.15 (KHTML, like Gecko) Version/17.5 Mobile/15E148 Safari/604.1";
const CHROME = "AppleWebKit/537.36 (KHTML, like Gecko) Chrome/125.0.0.0 Mobile Safari/537.36";

for (const [what, userAgent, maxTouchPoints, way] of [
  ["Safari on an iPhone", `Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) ${SAFARI}`, 5, "apple"],
  ["Safari on an iPad", `Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) ${SAFARI}`, 5, "apple"],
  ["a page inside another app on an iPhone", "Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Mobile/15E148", 5, "inside"],
  ["Chrome on Android", `Mozilla/5.0 (Linux; Android 14) ${CHROME}`, 5, "android"],
  ["Firefox on Android", "Mozilla/5.0 (Android 14; Mobile; rv:126.0) Gecko/126.0 Firefox/126.0", 5, "android"],
  ["a page inside another app on Android", `Mozilla/5.0 (Linux; Android 14; wv) ${CHROME}`, 5, "inside"],
  ["Safari on a Mac", `Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) ${SAFARI}`, 0, "other"],
  ["Chrome on a computer", "Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/125.0.0.0 Safari/537.36", 0, "other"],
  ["Firefox on a computer", "Mozilla/5.0 (X11; Linux x86_64; rv:126.0) Gecko/20100101 Firefox/126.0", 0, "cannot"],
]) {
  test(`${what}: ${way}`, () => assert.equal(wayToInstall({ userAgent, maxTouchPoints }), way));
}
