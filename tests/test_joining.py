"""A phone gets the app's modules as one file: the same program, or none at all."""

import json
import subprocess
from pathlib import Path

import pytest

from project.joining import EXPORT, CannotJoinError, joined, joined_sheet, name_of
from project.storage import minify, shortened
from tests.support.needs import need, node

ROOT = Path(__file__).resolve().parent.parent
PATIENT = ROOT / "static" / "patient"
JS = ROOT / "tests" / "js"
MODULES = sorted(
    path.relative_to(PATIENT).as_posix()
    for path in PATIENT.rglob("*.js")
    if path.name not in ("app.js", "rescue.js")
)
# What they test is not the app, or is how its sources are written.
NOT_OF_THE_APP = ("house", "clinic")
# Node has no page; a screen's module asks at once for the one it is in.
PAGE = "globalThis.document ??= new EventTarget();\n"


def read(name: str) -> str:
    return (PATIENT / name).read_text()


def exports_of(name: str) -> list[str]:
    return [found[2] for found in EXPORT.finditer(read(name))]


@pytest.fixture(scope="module")
def whole() -> str:
    """All modules but the one that starts the app, joined and shortened as for a phone."""
    texts = {"all.js": "\n".join(_import_of(*one) for one in enumerate(MODULES))}
    return PAGE + shortened(joined("all.js", lambda name: texts.get(name) or read(name)))


def _import_of(n: int, name: str) -> str:
    names = ", ".join(f"{one} as x{n}_{one}" for one in exports_of(name))
    return f'import {{ {names} }} from "./{name}";'


def run(*arguments: str, cwd: Path) -> str:
    done = subprocess.run(
        [node(), *arguments], cwd=cwd, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout[-4000:] + done.stderr[-2000:]
    return done.stdout


def outcome(tmp_path: Path, files: dict[str, str], entry: str = "app.js") -> tuple[list, list]:
    """What the single modules say when they run, and what their joined form says."""
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text)
    (tmp_path / "package.json").write_text('{"type": "module"}')
    (tmp_path / "one.mjs").write_text(shortened(joined(entry, files.__getitem__)))
    return run(entry, cwd=tmp_path).split("\n"), run("one.mjs", cwd=tmp_path).split("\n")


@pytest.mark.node
def test_modules_run_once_and_in_the_order_of_a_browser(tmp_path):
    single, one = outcome(
        tmp_path,
        {
            "app.js": 'import { b } from "./ui/b.js";\nimport { a } from "./a.js";\n'
            'console.log("app", a, b());\n',
            "a.js": 'import { c } from "./c.js";\nconsole.log("a");\nexport const a = [c];\n',
            "ui/b.js": 'import { c as see } from "../c.js";\nconsole.log("b");\n'
            "export function b() { return see; }\n",
            "c.js": 'console.log("c");\nexport const c = { at: 1 };\n',
        },
    )

    assert single == one == ["c", "b", "a", "app [ { at: 1 } ] { at: 1 }", ""]


@pytest.mark.node
def test_a_name_means_what_it_means_in_its_own_module(tmp_path):
    single, one = outcome(
        tmp_path,
        {
            "app.js": 'import { next } from "./a.js";\nimport { next as other } from "./b.js";\n'
            'const count = "mine";\nnext();\nother();\n'
            "console.log(next(), other(), count, this);\n",
            "a.js": "let count = 0;\nexport function next() { return (count += 1); }\n",
            "b.js": "let count = 10;\nexport const next = () => (count += 1);\n"
            "export class Map {}\n",
        },
    )

    assert single == one == ["2 12 mine undefined", ""]


@pytest.mark.node
def test_modules_reach_each_other_where_nobody_outside_asks_for_their_names(tmp_path):
    files = {
        "app.js": 'import { b as other, a } from "./ab.js";\nimport { a as told } from "./c.js";\n'
        "console.log(a, other(), told);\n",
        "ab.js": "export const a = 1;\nexport function b() { return 2; }\n",
        "c.js": "export const a = 3;\n",
    }
    (tmp_path / "one.mjs").write_text(
        shortened(joined("app.js", files.__getitem__, given=["c.js"]))
    )

    assert run("one.mjs", cwd=tmp_path).split("\n")[0] == "1 2 3"


@pytest.mark.parametrize(
    ("why", "text"),
    [
        ("another form", 'import a from "./a.js";'),
        ("another form", 'import * as a from "./a.js";'),
        ("another form", 'import "./a.js";'),
        ("another form", 'import { a } from "elsewhere";'),
        ("another form", 'import {\n  a,\n} from "./a.js";'),
        ("another form", "export let a = 1;"),
        ("another form", "export default 1;"),
        ("another form", "const a = 1;\nexport { a };"),
        ("another form", 'export * from "./a.js";'),
        ("another form", "export const { a } = {};"),
        ("while it runs", 'const a = () => import("./a.js");'),
        ("while it runs", "const here = import.meta.url;"),
        ("a wait", "const a = await fetch(1);"),
        ("a comment", "/*\nexport const a = 1;\n*/"),
        ("joined file needs", "const $a = 1;"),
        ("a template", "const a = `\nexport const b = 1;\n`;"),
        ("may change", "export function a() {}\na = null;"),
        ("does not export", 'import { missing } from "./a.js";'),
        ("in a circle", 'import { app } from "./round.js";'),
    ],
)
def test_what_is_not_understood_is_refused_with_the_file_and_the_reason(why, text):
    files = {
        "app.js": f"{text}\n",
        "a.js": "export const a = 1;\n",
        "round.js": 'import { a } from "./app.js";\nexport const app = 1;\n',
    }

    with pytest.raises(CannotJoinError, match=rf"^[\w.]+: .*{why}"):
        joined("app.js", files.__getitem__)


@pytest.mark.node
def test_every_module_of_the_app_gives_what_it_exports(tmp_path, whole):
    (tmp_path / "one.mjs").write_text(whole)
    program = (
        "const one = await import(process.argv[1]); const given = {};"
        "for (const [name, module] of Object.entries(one)) given[name] ="
        " Object.keys(module).filter((key) => module[key] !== undefined);"
        "console.log(JSON.stringify(given));"
    )

    given = json.loads(
        run("--input-type=module", "-e", program, str(tmp_path / "one.mjs"), cwd=tmp_path)
    )

    assert {name: exports for name, exports in given.items() if name != "$all"} == {
        name_of(name): exports_of(name) for name in MODULES
    }


@pytest.mark.node
def test_the_joined_app_passes_the_tests_of_its_modules(tmp_path, whole):
    need((JS / "node_modules").exists(), "fake-indexeddb (npm install in tests/js)")
    need(minify, "tdewolff-minify")
    _mirror(tmp_path, whole)
    tests = [path.name for path in JS.glob("*.test.js") if not path.name.startswith(NOT_OF_THE_APP)]

    run("--test", *sorted(tests), cwd=tmp_path / "tests" / "js")


def _mirror(folder: Path, whole: str) -> None:
    """The tests beside modules that hand on what the one file gives."""
    (folder / "tests").mkdir()
    (folder / "tests" / "js").mkdir()
    for path in JS.iterdir():
        if path.suffix == ".js" or path.name == "package.json":
            (folder / "tests" / "js" / path.name).write_bytes(path.read_bytes())
        elif path.name == "node_modules":
            (folder / "tests" / "js" / path.name).symlink_to(path.resolve())
    (folder / "fixtures").symlink_to(ROOT / "fixtures")
    patient = folder / "static" / "patient"
    patient.mkdir(parents=True)
    (patient / "words").symlink_to(PATIENT / "words")
    (folder / "static" / "package.json").write_text('{"type": "module"}')
    (patient / "one.js").write_text(whole)
    for name in MODULES:
        up = "../" * name.count("/") or "./"
        (patient / name).parent.mkdir(exist_ok=True)
        (patient / name).write_text(
            f'import {{ {name_of(name)} as module }} from "{up}one.js";\n'
            f"export const {{ {', '.join(exports_of(name))} }} = module;\n"
        )


def test_a_sheet_holds_its_parts_in_their_order_and_nothing_from_elsewhere():
    sheet = {"css/p.css": '@import url("b.css");\n@import url("a.css");\n', "css/a.css": "a {}\n"}
    good, bad = {"css/b.css": "b {}\n"}, {"css/b.css": "b { background: url(x.png) }"}

    assert joined_sheet("css/p.css", (sheet | good).__getitem__) == "b {}\na {}\n"
    with pytest.raises(CannotJoinError):
        joined_sheet("css/p.css", (sheet | bad).__getitem__)


def test_the_patients_sheet_names_every_part_of_it():
    css = ROOT / "static" / "css"
    parts = "".join(path.read_text() for path in sorted(css.glob("patient-*.css")))
    shared = (css / "tokens.css").read_text() + (css / "base.css").read_text()

    whole = joined_sheet("css/patient.css", lambda name: (ROOT / "static" / name).read_text())

    assert whole.endswith(shared + parts)


def test_a_script_is_shortened_in_the_same_way_every_time():
    script = joined("app.js", read)

    assert len({shortened(script) for _ in range(5)}) == 1
