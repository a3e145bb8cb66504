"""An older copy is restored while phones hold newer, confirmed entries: they bring them back."""

import json
from contextlib import ExitStack
from datetime import UTC, date, datetime, time, timedelta

import pytest

from tests.support.audit import audit, stored
from tests.support.drilled import DATABASES, DrilledServer, drilled, phones_of, settle

PHONES = 4
FORGOTTEN = 7  # days ago; a day on which nobody logged anything
JUDGED = """
import django; django.setup()
import json
from datetime import timedelta
from django.utils import timezone
from homeprogram.models import Patient
from homeprogram.selectors.plans import contexts
now = timezone.now()
found = contexts(patients=list(Patient.objects.all()), now=now, days_back=12)
since = now.date() - timedelta(days=9)
print(json.dumps([
    [str(episode.id), str(day.day), str(day.status)]
    for one in found for episode in one.episodes for day in one.days(episode, since, one.today)
]))
"""


@pytest.fixture(params=DATABASES)
def server(request, tmp_path):
    with ExitStack() as keep:
        yield drilled(keep, request.param, tmp_path / "clinic")


def days_ago(*numbers: int) -> list[date]:
    today = datetime.now(tz=UTC).date()
    return [today - timedelta(days=number) for number in numbers]


def log(phones, days: list[date]) -> None:
    for phone in phones:
        for day in days:
            phone.save_for(day)
    assert settle(phones) == ["settled"] * len(phones)


def judged(server: DrilledServer) -> dict[tuple[str, str], str]:
    return {(who, day): status for who, day, status in json.loads(server.python("-c", JUDGED))}


def falsely_missed(server: DrilledServer, phones) -> list[tuple[str, str]]:
    """Days called missed although a phone holds a bout for them."""
    held = {
        (phone.episode_id, json.loads(row.item["body"])["for_date"])
        for phone in phones
        for row in phone.rows.values()
    }
    return [day for day, status in judged(server).items() if status == "missed" and day in held]


def test_phones_bring_back_what_an_older_copy_does_not_hold(server, tmp_path, tally):
    phones = phones_of(server, PHONES)
    server.start()
    (day_of_copy,) = days_ago(4)
    for phone in phones:
        # As it was then: the day before had closed at noon, this one not yet.
        phone.claims_at = datetime.combine(day_of_copy, time(13), tzinfo=UTC)
    log(phones, days_ago(9, 8, 6, 5))
    server.manage("backup", str(tmp_path / "copy"))
    for phone in phones:
        phone.claims_at = None
    log(phones, days_ago(4, 3, 2, 1))
    everything = stored(server)
    server.stop()

    server.manage("restore", str(tmp_path / "copy"), "--yes")
    lacking = everything - stored(server)
    before = falsely_missed(server, phones)
    server.start()
    states = settle(phones)

    result = audit(server, phones)
    tally(f"entries the copy lacked {len(lacking)}; {result}")
    assert len(lacking) == 4 * PHONES
    assert states == ["settled"] * PHONES
    assert result.faults == {}
    assert stored(server) == everything
    assert (before, falsely_missed(server, phones)) == ([], [])
    # The one day nobody logged is called missed again, so the judging is awake.
    (forgotten,) = days_ago(FORGOTTEN)
    assert [judged(server)[phone.episode_id, str(forgotten)] for phone in phones] == (
        ["missed"] * PHONES
    )
    assert "agree" in server.manage("rebuild", "--check")
