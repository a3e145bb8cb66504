"""Migrations go back and forth while phones push: success or 503, nothing lost."""

from contextlib import ExitStack

import pytest

from tests.support.audit import ask, audit
from tests.support.drilled import DATABASES, drilled, phones_of, settle
from tests.support.later.migrations import NEWEST
from tests.support.load import Load

SEED = 20300305
PHONES = 4
APPEND_ONLY = {
    "sqlite": "SELECT count(*) FROM sqlite_master WHERE type = 'trigger' AND name LIKE '%_no_%'",
    "postgresql": "SELECT count(*) FROM pg_trigger WHERE tgname LIKE '%_append_only'",
}


@pytest.mark.parametrize("database", DATABASES)
def test_a_migration_during_pushes_loses_nothing(database, tmp_path, long_run, tally):
    with ExitStack() as keep:
        server = drilled(keep, database, tmp_path / "clinic")
        phones = phones_of(server, PHONES)
        server.start()
        guards = ask(server, APPEND_ONLY[database])
        server.environment["DJANGO_SETTINGS_MODULE"] = "tests.support.later.settings"
        with Load(phones, SEED).running() as load:
            for _ in range(10 if long_run else 1):
                load.flows()
                server.manage("migrate", "--verbosity", "0")
                load.flows()
                server.manage("migrate", "homeprogram", NEWEST, "--verbosity", "0")
                load.flows()
        states = settle(phones)

        result = audit(server, phones)
        heard = {status for phone in phones for status in phone.statuses}
        refused = sum(phone.statuses.count(503) for phone in phones)
        tally(f"answers {sorted(heard)}, 503 {refused} times; {result}")
        assert heard <= {200, 503}
        assert states == ["settled"] * PHONES
        assert result.faults == {}
        assert ask(server, APPEND_ONLY[database]) == guards
        assert "agree" in server.manage("rebuild", "--check")
