"""The cast is made once for all the tests that ask for it in a row; each has a copy of its own.

Each member lies above a savepoint, so a test rolls back to the cast and not to nothing.
"""

import copy
from collections.abc import Callable, Mapping
from contextlib import ExitStack

import pytest

HOME = "tests"  # the folder whose conftest.py makes the cast
UNDER_ALL = "_django_db_helper"  # the transaction of a single test


class Stage:
    """A plugin: before each test it makes, or takes back, what that test needs of the cast."""

    def __init__(self, steps: Mapping[str, Callable[[dict], object]]) -> None:
        """`steps` in the order in which they build on each other; each is told those before."""
        self._steps = dict(steps)
        self._savepoints: list[ExitStack] = []
        self._casts: list[dict] = [{}]  # as it stood after each step
        self._blocker = None

    def cast(self) -> dict:
        """The members that are there; free to change, and known to each other."""
        return copy.deepcopy(self._casts[-1])

    def clear(self, leave: int = 0) -> None:
        while len(self._savepoints) > leave:
            self._casts.pop()
            with self._blocker.unblock():
                self._savepoints.pop().close()

    @pytest.hookimpl(trylast=True)  # after the shuffle: so that few members are made twice
    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        files = list(dict.fromkeys(item.path for item in items))
        place = {path: at for at, path in enumerate(files)}
        items.sort(key=lambda item: (place[item.path], self._asked(item)))

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_setup(self, item: pytest.Item) -> None:
        self.clear(leave=self._asked(item))

    @pytest.hookimpl(tryfirst=True)
    def pytest_fixture_setup(self, fixturedef, request: pytest.FixtureRequest) -> None:
        if fixturedef.argname == UNDER_ALL:
            self._blocker = request.getfixturevalue("django_db_blocker")
            with self._blocker.unblock():
                for name in list(self._steps)[len(self._savepoints) : self._asked(request.node)]:
                    self._make(name)

    def _make(self, name: str) -> None:
        from django.db import transaction

        savepoint = ExitStack()
        block = transaction.atomic()
        block._from_testcase = True  # so that a durable block may stand in it
        savepoint.enter_context(block)
        savepoint.callback(transaction.set_rollback, True)
        self._savepoints.append(savepoint)
        cast = self.cast()
        cast[name] = self._steps[name](cast)
        self._casts.append(cast)

    def _asked(self, item: pytest.Item) -> int:
        """How many of the steps a test asks for; none that stands on something of its own."""
        found = getattr(item, "_fixtureinfo", None)
        known = found.name2fixturedefs if found else {}
        asked = 0
        for at, name in enumerate(["now", *self._steps]):
            if name in known:
                if known[name][-1].baseid != HOME:
                    return asked
                asked = at
        return asked
