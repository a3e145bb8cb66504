// The floors of the patient's modules: model < store < net < ui < app.js.
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { dirname, join, normalize } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("../../static/patient/", import.meta.url));
const FLOORS = ["model", "store", "net", "ui", "app.js"];
const STANDS_ALONE = "rescue.js";
const files = readdirSync(ROOT, { recursive: true }).filter((name) => name.endsWith(".js"));
const textOf = (file) => readFileSync(join(ROOT, file), "utf8");
const importLines = (file) => textOf(file).split("\n").filter((line) => /\bfrom "|\bimport\b.*["'(]/.test(line) && !line.startsWith("//"));
const floorOf = (file) => FLOORS.indexOf(file.split("/")[0]);

// The one form that the static storage rewrites to hashed names.
const FORM = /^import \{ [\w, ]+ \} from "(\.\.?\/[\w./-]+\.js)";$/;

function targets(file) {
  return importLines(file).map((line) => normalize(join(dirname(file), FORM.exec(line)[1])));
}

test("there are modules on every floor", () => {
  assert.deepEqual(new Set(files.filter((file) => file !== STANDS_ALONE).map(floorOf)), new Set([0, 1, 2, 3, 4]));
});

for (const file of files) {
  test(`${file}: every import has the one form and goes down or sideways`, () => {
    for (const line of importLines(file)) assert.match(line, FORM);
    for (const target of targets(file)) {
      assert.ok(files.includes(target), `${target} is not there`);
      assert.ok(floorOf(target) <= floorOf(file), `${file} looks up at ${target}`);
    }
  });

  test(`${file}: no markup from text, no handler in an attribute, no import in a comment`, () => {
    assert.doesNotMatch(textOf(file), /innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\(|new Function|["' ]on(click|load|error)=/);
    assert.doesNotMatch(textOf(file), /^\s*(\/\/|\*).*\bimport\b.*["']/m);
  });

  // Its lines lose their indents and comments on the way to a phone (project/storage.py).
  test(`${file}: no template text goes over a line's end`, () => {
    const open = textOf(file).split("\n").filter((line) => !line.trim().startsWith("//") && line.split("`").length % 2 === 0);
    assert.deepEqual(open, []);
    assert.doesNotMatch(textOf(file), /^\s*(\/\*|\*)/m);
  });

  test(`${file}: has one purpose and stays short`, () => {
    assert.ok(textOf(file).split("\n").length <= 300);
    assert.ok(textOf(file).startsWith("// "), "the first line says what it is for");
  });
}

test("nothing imports in a circle", () => {
  const done = new Set();
  const visit = (file, path) => {
    assert.ok(!path.includes(file), `circle: ${[...path, file].join(" > ")}`);
    if (done.has(file)) return;
    for (const target of targets(file)) visit(target, [...path, file]);
    done.add(file);
  };
  files.forEach((file) => visit(file, []));
  assert.equal(done.size, files.length);
});

test("model, store and net ask the browser for nothing they are not given", () => {
  const core = files.filter((file) => ["model", "store", "net"].includes(file.split("/")[0]));
  assert.ok(core.length > 20);
  for (const file of core) {
    const code = textOf(file).replace(/\/\/.*$/gm, "");
    assert.doesNotMatch(code, /\b(document|window|localStorage|location)\.|Date\.now\(\)|Math\.random|\bnew Date\(\)|navigator\./, `${file} looks outside by itself`);
  }
});

test("the rescue page's script imports nothing, so that a broken module cannot break it", () => {
  assert.deepEqual(importLines(STANDS_ALONE), []);
});
