"""Database gone, locked, cut off in mid batch: 503 with a wait, nothing partial, then success."""

import sqlite3
import threading
import time
import urllib.error
import urllib.request
from contextlib import ExitStack, contextmanager

import psycopg
import pytest

from tests.support.audit import audit, stored
from tests.support.drilled import drilled, phones_of, settle

SLOW_ROW = """CREATE FUNCTION slow_row() RETURNS trigger AS $$
BEGIN PERFORM pg_sleep(20); RETURN NEW; END $$ LANGUAGE plpgsql;
CREATE TRIGGER slow_row BEFORE INSERT ON homeprogram_entry FOR EACH ROW
WHEN (NEW.number = {number}) EXECUTE FUNCTION slow_row()"""
WAITING = "SELECT 1 FROM pg_locks WHERE NOT granted"
SIGNED_IN = "desk=0123456789abcdefghijklmnopqrstuv"  # somebody, until the session is read
SLEEPING = """SELECT pid FROM pg_stat_activity WHERE wait_event = 'PgSleep'"""


@pytest.fixture(scope="module")
def on_postgresql(tmp_path_factory):
    with ExitStack() as keep:
        folder = tmp_path_factory.mktemp("away") / "clinic"
        server = drilled(keep, "postgresql", folder, lock_timeout=1500, deadlock_timeout=200)
        phones = phones_of(server, 8)
        server.start()
        yield server, phones


@pytest.fixture
def server(on_postgresql):
    return on_postgresql[0]


@pytest.fixture
def phone(on_postgresql):
    """A fresh one for each test."""
    phone = on_postgresql[1].pop()
    phone.save()
    assert phone.round() == "settled"
    return phone


def turned_away(phone) -> None:
    """The round ended with our 503, and nothing of the batch is said to be there."""
    before = dict(phone.acknowledged)
    assert phone.round() == "busy"
    assert phone.statuses[-1] == 503
    assert 5 <= phone.retry_after_s <= 20
    assert phone.acknowledged == before


def there_once(server, phone) -> None:
    assert settle([phone]) == ["settled"]
    assert audit(server, [phone]).faults == {}


@contextmanager
def held_lock(server, statement: str):
    with psycopg.connect(server.cluster.url) as line:
        line.execute(statement)
        yield line


def test_a_database_that_is_gone_is_a_503_and_then_a_success(server, phone):
    phone.save()
    server.cluster.kill()

    turned_away(phone)
    server.cluster.start()

    there_once(server, phone)


def test_the_answer_has_the_shape_of_every_error(server, phone):
    server.cluster.kill()
    reply = phone._ask("GET", "pairing/")
    server.cluster.start()

    assert reply.status == 503
    assert reply.body["code"] == "record_away"
    assert set(reply.body) == {"code", "message", "fields"}


def test_the_desk_is_told_in_a_page_of_its_own(server, phone):
    server.cluster.kill()
    asked = urllib.request.Request(f"{server.url}/desk/", headers={"Cookie": SIGNED_IN})
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(asked, timeout=20)
    server.cluster.start()

    assert refused.value.code == 503
    assert int(refused.value.headers["Retry-After"]) > 0
    assert b"cannot be reached" in refused.value.read()
    refused.value.close()


def test_a_patient_locked_by_another_write_is_a_503_and_then_a_success(server, phone):
    rows = [phone.save() for _ in range(5)]

    with held_lock(server, "SELECT id FROM homeprogram_patient FOR UPDATE"):
        turned_away(phone)
        assert not {row.id for row in rows} & stored(server)

    there_once(server, phone)


def test_a_locked_log_holds_no_good_entry_for_a_person(server, phone):
    for _ in range(5):
        phone.save()

    with held_lock(server, "LOCK TABLE homeprogram_entry IN SHARE MODE"):
        turned_away(phone)

    there_once(server, phone)
    assert {row.state for row in phone.rows.values()} == {"confirmed"}


def test_a_deadlock_is_a_503_or_a_success_and_never_half_a_batch(server, phone):
    for _ in range(5):
        phone.save()

    with held_lock(server, "LOCK TABLE homeprogram_entry IN SHARE MODE") as other:
        states = []
        pushing = threading.Thread(target=lambda: states.append(phone.round()))
        pushing.start()
        while not server.cluster.ask(WAITING):
            time.sleep(0.02)
        ended = []
        try:
            other.execute("SELECT id FROM homeprogram_patient FOR UPDATE")
        except psycopg.errors.DeadlockDetected as error:
            ended.append(error)
        other.rollback()
        pushing.join()

    # PostgreSQL ends one of the two, whichever it likes.
    assert states == ["settled" if ended else "busy"]
    there_once(server, phone)
    assert {row.state for row in phone.rows.values()} == {"confirmed"}


def test_a_backend_that_dies_in_mid_batch_leaves_nothing_of_it(server, phone):
    rows = [phone.save() for _ in range(20)]
    server.cluster.ask(SLOW_ROW.format(number=rows[10].number))

    with ending_what_sleeps(server):
        turned_away(phone)
    assert not {row.id for row in rows} & stored(server)
    server.cluster.ask("DROP FUNCTION slow_row CASCADE")

    there_once(server, phone)


@contextmanager
def ending_what_sleeps(server):
    """Another thread ends the backend as soon as it stands in the middle of its batch."""

    def end() -> None:
        while not (found := server.cluster.ask(SLEEPING)):
            time.sleep(0.02)
        server.cluster.ask(f"SELECT pg_terminate_backend({found[0][0]})")

    thread = threading.Thread(target=end, daemon=True)
    thread.start()
    yield
    thread.join(timeout=10)


def test_sqlite_that_is_busy_is_a_503_and_then_a_success(tmp_path):
    with ExitStack() as keep:
        server = drilled(keep, "sqlite", tmp_path / "clinic", timeout=0.3)
        (phone,) = phones_of(server, 1)
        server.start()
        assert phone.round() == "settled"
        rows = [phone.save() for _ in range(5)]
        line = sqlite3.connect(server.folder / "demo.sqlite3", isolation_level=None)
        line.execute("BEGIN IMMEDIATE")

        turned_away(phone)
        line.execute("ROLLBACK")
        line.close()
        assert not {row.id for row in rows} & stored(server)

        there_once(server, phone)
