"""One file out of an app's modules, or of a sheet's parts: fewer and smaller replies for a phone.

A module becomes a function, called once, in the order in which a browser would run them; it gives
back what it exports, so that all its other names stay its own. Only the plain forms that our
sources use are understood. Anything else is refused: a program that says something else than its
modules must never come out.
"""

import posixpath
import re
from collections.abc import Callable, Collection
from dataclasses import dataclass

Read = Callable[[str], str]

IMPORT = re.compile(r'^import \{ ([\w, ]+) \} from "(\.\.?/[\w./-]+\.js)";$', re.MULTILINE)
NAME = re.compile(r"(\w+)(?: as (\w+))?")
EXPORT = re.compile(r"^export ((?:async )?function\*?|class|const) (\w+)\b", re.MULTILINE)
SHEET = re.compile(r'^@import url\("([\w.-]+\.css)"\);\n', re.MULTILINE)
REFUSED = {
    "another form of import or export": re.compile(r"^\s*(import|export)\b", re.MULTILINE),
    "an import while it runs": re.compile(r"\bimport\s*[(.]"),
    "a wait at its top": re.compile(r"^(?![ \t/}])(?!.*\basync\b).*\bawait\b", re.MULTILINE),
    "a comment over the end of a line": re.compile(r"/\*(?!.*\*/)"),
    "a name that the joined file needs": re.compile(r"\$\w"),
    "a template over the end of a line": re.compile(
        r"^[^`\n]*`(?:[^`\n]*`[^`\n]*`)*[^`\n]*$", re.MULTILINE
    ),
}


class CannotJoinError(Exception):
    """A source is written in a way that is not understood; says which and why."""


@dataclass(frozen=True, slots=True)
class Module:
    imports: list[tuple[str, dict[str, str]]]  # from where, their name there -> the name here
    exports: list[str]
    body: str


def joined(entry: str, read: Read, *, given: Collection[str] | None = None) -> str:
    """One module that does what `entry` does.

    It exports the modules `given`, every one unless said, under `name_of` their paths.
    """
    modules = _in_order(entry, read)
    for name, module in modules.items():
        _check_names(name, module, modules)
    short = {name: f"${at:x}" for at, name in enumerate(modules)}  # no source of ours has a $0
    told = set(modules if given is None else given)
    parts = [_as_function(name, modules, short, told) for name in modules]
    named = (f"{short[name]} as {name_of(name)}" for name in modules if name in told)
    return "".join(parts) + f"export {{ {', '.join(named)} }};\n"


def name_of(path: str) -> str:
    """model/start-low.js leaves the joined file as $model_start_low."""
    return "$" + re.sub(r"\W", "_", path.removesuffix(".js"))


def joined_sheet(entry: str, read: Read) -> str:
    """The parts that a sheet imports by plain names, in their order, in the place of the lines."""
    folder = posixpath.dirname(entry)
    text = SHEET.sub(lambda found: read(posixpath.join(folder, found[1])), read(entry))
    if "@import" in text or "url(" in text or "@charset" in text:
        raise CannotJoinError(f"{entry}: a sheet that asks for other files")
    return text


def _in_order(entry: str, read: Read) -> dict[str, Module]:
    """Every module after those it imports, as a browser runs them; no circles."""
    done: dict[str, Module] = {}

    def visit(name: str, way: tuple[str, ...]) -> None:
        if name in way:
            raise CannotJoinError(f"{name}: imports in a circle: {' > '.join(way)}")
        if name not in done:
            module = _parted(name, read(name))
            for source, _names in module.imports:
                visit(source, (*way, name))
            done[name] = module

    visit(entry, ())
    return done


def _parted(name: str, text: str) -> Module:
    imports = [
        (
            posixpath.normpath(posixpath.join(posixpath.dirname(name), found[2])),
            {one[1]: one[2] or one[1] for one in map(NAME.fullmatch, found[1].split(", "))},
        )
        for found in IMPORT.finditer(text)
    ]
    exports = [found[2] for found in EXPORT.finditer(text)]
    body = EXPORT.sub(r"\1 \2", IMPORT.sub("", text))
    for why, form in REFUSED.items():
        if form.search(body):
            raise CannotJoinError(f"{name}: {why}")
    return Module(imports, exports, body)


def _check_names(name: str, module: Module, modules: dict[str, Module]) -> None:
    """What a browser would refuse to link, and names that would be bound anew while it runs."""
    for source, names in module.imports:
        absent = names.keys() - modules[source].exports
        if absent:
            raise CannotJoinError(f"{name}: {source} does not export {', '.join(sorted(absent))}")
    for one in module.exports:
        if re.search(rf"^\s*{one}\s*(?:[-+*/%&|^?<>]{{0,3}})=(?![=>])", module.body, re.MULTILINE):
            raise CannotJoinError(f"{name}: its export {one} may change")


def _as_function(
    name: str, modules: dict[str, Module], short: dict[str, str], told: Collection[str]
) -> str:
    """Only outside do exports have names; modules take them from each other by place."""
    module = modules[name]
    places = {one: None if one in told else modules[one].exports for one, _ in module.imports}
    taken = "".join(
        f"const {{ {_pairs(names, places[source])} }} = {short[source]};\n"
        for source, names in module.imports
    )
    exports = ", ".join(module.exports)
    given = f"return {{ {exports} }};" if name in told else f"return [{exports}];"
    return f"const {short[name]} = (() => {{\n{taken}{module.body}\n{given}\n}})();\n"


def _pairs(names: dict[str, str], places: list[str] | None) -> str:
    return ", ".join(
        f"{there if places is None else places.index(there)}: {here}"
        for there, here in names.items()
    )
