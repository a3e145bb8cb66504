// One browser for a test in another language: a JSON line [act, ...given] in, a
// JSON line {ok} or {error} out. Firefox speaks WebDriver BiDi here, Chromium CDP.
import { createInterface } from "node:readline";
import puppeteer from "puppeteer-core";

const [browser, executablePath, userDataDir] = process.argv.slice(2);
const sandbox = browser === "chrome" ? ["--no-sandbox", "--disable-gpu"] : [];
const open = await puppeteer.launch({
  browser, executablePath, userDataDir, headless: true, args: sandbox,
  defaultViewport: { width: 360, height: 740 },
});
const page = (await open.pages())[0] ?? (await open.newPage());
await page.bringToFront(); // a page that is not in front gets no focus, and fields in it no `change`

const acts = {
  pid: () => open.process().pid,
  goto: (url) => page.goto(url).then(() => null),
  run: (script) => page.evaluate(`(async () => { ${script} })()`),
  press: (x, y) => page.mouse.click(x, y),
  type: (text) => page.keyboard.type(text),
  close: () => open.close(),
};

const answer = (said) => process.stdout.write(`${JSON.stringify(said)}\n`);
answer({ ok: await open.version() });
for await (const line of createInterface({ input: process.stdin })) {
  const [act, ...given] = JSON.parse(line);
  try {
    answer({ ok: (await acts[act](...given)) ?? null });
  } catch (error) {
    answer({ error: String(error) });
  }
}
