// The desk's modules: short, one form of import, nothing drawn from text.
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("../../static/clinic/", import.meta.url));
const files = readdirSync(ROOT).filter((name) => name.endsWith(".js"));
const textOf = (file) => readFileSync(join(ROOT, file), "utf8");
// The one form that the static storage rewrites to hashed names.
const FORM = /^import \{ [\w, ]+ \} from "\.\/([\w-]+\.js)";$/;
const PURE = ["course-draw.js", "pattern.js", "dose-request.js", "dose-words.js"];

for (const file of files) {
  const imports = textOf(file).split("\n").filter((line) => line.startsWith("import "));

  test(`${file}: every import has the one form and names a file that is there`, () => {
    for (const line of imports) assert.ok(files.includes(FORM.exec(line)?.[1]), line);
  });

  test(`${file}: no markup from text, no handler in an attribute, no style in an attribute`, () => {
    assert.doesNotMatch(textOf(file), /innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|\.style\b|["' ]on(click|load|error)=/);
  });

  test(`${file}: stays short`, () => assert.ok(textOf(file).split("\n").length <= 300));
}

for (const file of PURE) {
  test(`${file}: asks the browser for nothing`, () => {
    assert.doesNotMatch(textOf(file).replace(/\/\/.*$/gm, ""), /\b(document|window|fetch|location|navigator)\b/);
  });
}
