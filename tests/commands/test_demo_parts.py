"""Small parts of the demo: ids, zones, progress."""

import io
import uuid
from datetime import UTC, datetime
from random import Random
from zoneinfo import ZoneInfo

import pytest

from clinician.demo.live import zone_abroad
from clinician.demo.phone import uuid7
from clinician.demo.zone import zone_here
from homeprogram.management.progress import Bar

NOW = datetime(2030, 5, 8, 13, 0, tzinfo=UTC)


def test_ids_carry_version_variant_and_the_phones_clock():
    # RFC 9562, appendix A.6: the clock of its example, and where it stands.
    made = uuid7(0x017F22E279B0, Random(1))
    assert str(made).startswith("017f22e2-79b0-7")
    assert (made.version, made.variant) == (7, uuid.RFC_4122)


def test_ids_differ_within_one_millisecond():
    rng = Random(1)
    assert len({uuid7(1, rng) for _ in range(1000)}) == 1000


@pytest.mark.parametrize(
    ("named", "key"), [(":Europe/Lisbon", "Europe/Lisbon"), ("Mars/Olympus", "UTC")]
)
def test_the_demos_today_is_this_machines(monkeypatch, named, key):
    monkeypatch.setenv("TZ", named)
    assert zone_here().key == key


def test_without_a_name_some_zone_is_found(monkeypatch):
    monkeypatch.delenv("TZ", raising=False)
    assert NOW.astimezone(zone_here()).utcoffset() is not None


@pytest.mark.parametrize(
    ("home", "abroad"),
    [
        ("Europe/London", "America/New_York"),
        ("Pacific/Auckland", "Asia/Bangkok"),
        ("Pacific/Pago_Pago", "Pacific/Pago_Pago"),
    ],
)
def test_abroad_lies_a_few_hours_behind_home(home, abroad):
    assert zone_abroad(ZoneInfo(home), NOW).key == abroad


def test_progress_into_a_log_takes_ten_lines_at_most():
    out = io.StringIO()
    bar = Bar(out, "patients")
    for done in range(1, 1001):
        bar.show(done, 1000)
    lines = out.getvalue().splitlines()
    assert len(lines) == 10
    assert lines[-1].endswith("1000 of 1000 patients")


def test_progress_on_a_terminal_draws_over_itself():
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    out = Terminal()
    bar = Bar(out, "patients")
    bar.show(1, 2)
    bar.show(2, 2)
    assert out.getvalue().count("\r") == 2
    assert out.getvalue().endswith("2 of 2 patients\n")
