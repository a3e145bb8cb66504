"""Deliberately broken designs: an exact piece of shipped text and what stands in its place.

A piece that is no longer found is an error, so none of these can go stale. JavaScript is
changed in a copy that Node then runs; Python in memory. Nothing shipped is ever written.
"""

import importlib
import shutil
import types
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.simulation.node import SHIPPED, Node

ROOT = SHIPPED.parent.parent


@dataclass(frozen=True)
class Mutant:
    """`file` is under static/patient (.js) or the root (.py).

    `focus` = what happens often in the worlds that look for it; "storm" is a bad network.
    """

    name: str
    file: str
    shipped: str
    broken: str
    focus: str = ""

    @property
    def on_phone(self) -> bool:
        return self.file.endswith(".js")


class StaleMutantError(Exception):
    """The shipped text that a mutant changes is not there, or not once."""


def broken_text(mutant: Mutant, text: str) -> str:
    if text.count(mutant.shipped) != 1:
        raise StaleMutantError(f"{mutant.name}: found {text.count(mutant.shipped)} times")
    return text.replace(mutant.shipped, mutant.broken)


@contextmanager
def phone_core(mutant: Mutant, folder: Path) -> Iterator[Node]:
    """Node on a copy of the patient's modules with this piece changed."""
    copy = folder / mutant.name
    shutil.copytree(SHIPPED, copy, ignore=shutil.ignore_patterns("ui", "*.css"))
    (copy / "package.json").write_text('{"type": "module"}')
    path = copy / mutant.file
    path.write_text(broken_text(mutant, path.read_text(encoding="utf-8")), encoding="utf-8")
    node = Node(copy)
    try:
        yield node
    finally:
        node.close()
        shutil.rmtree(copy)


@contextmanager
def server_code(mutant: Mutant) -> Iterator[None]:
    """The functions of a loaded module run the changed text, until the end."""
    path = ROOT / mutant.file
    text = broken_text(mutant, path.read_text(encoding="utf-8"))
    module = importlib.import_module(mutant.file.removesuffix(".py").replace("/", "."))
    changed = types.ModuleType(module.__name__)
    exec(compile(text, str(path), "exec"), changed.__dict__)
    kept = []
    for shipped, broken in _pairs(module, changed):
        if shipped.__code__.co_code != broken.__code__.co_code or (
            shipped.__code__.co_consts != broken.__code__.co_consts
            or shipped.__code__.co_names != broken.__code__.co_names
        ):
            kept.append((shipped, shipped.__code__))
            shipped.__code__ = broken.__code__
    if not kept:
        raise StaleMutantError(f"{mutant.name} changes no function")
    _forget(module)
    try:
        yield
    finally:
        for function, code in kept:
            function.__code__ = code
        _forget(module)


def _forget(module: object) -> None:
    """What functions of the module remember of earlier calls."""
    for one in vars(module).values():
        if clear := getattr(one, "cache_clear", None):
            clear()


def _pairs(module: object, changed: object) -> Iterator[tuple]:
    """Functions and methods of a module beside those of its changed self."""
    for key, broken in vars(changed).items():
        shipped = vars(module).get(key)
        if isinstance(broken, type) and broken.__module__ == module.__name__:
            for name, one in vars(broken).items():
                yield from _pair(vars(shipped).get(name), one)
        else:
            yield from _pair(shipped, broken)


def _pair(shipped: object, broken: object) -> Iterator[tuple]:
    plain = [getattr(one, "fget", getattr(one, "__wrapped__", one)) for one in (shipped, broken)]
    if all(isinstance(one, types.FunctionType) for one in plain):
        yield tuple(plain)
