"""How often a push asks the database, whatever the length of the history."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from homeprogram.models import Flag, Revision
from tests.benchmarks.data import clinic_of
from tests.conftest import PairedPhone
from tests.entries import BOUT, skin
from tests.support.pushes import outcomes

NO_QUESTIONS = ("SAVEPOINT", "RELEASE", "BEGIN", "COMMIT")
DAY = (
    ("bout", BOUT),
    ("skin_check", skin("before")),
    ("skin_check", skin("after")),
    ("morning_check", {"swelling": "none", "knee_pain": 1}),
    ("not_done", {"ordinal": 2, "reason": "no_time"}),
)


@pytest.fixture
def entries(phone, revision):
    program = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}

    def make(count: int, *, first: int = 0) -> list[dict]:
        """So many, five a day."""
        days = [
            f"2030-{4 + n // 100:02d}-{1 + n // 5 % 20:02d}" for n in range(first, first + count)
        ]
        return [phone.entry(*DAY[n % 5], **program, for_date=day) for n, day in enumerate(days)]

    return make


def asked(phone, batch: list[dict]) -> list[str]:
    with CaptureQueriesContext(connection) as queries:
        reply = phone.push(*batch, claim=True)
    assert outcomes(reply) == ["stored"] * len(batch)
    return [q["sql"][:60] for q in queries if not q["sql"].startswith(NO_QUESTIONS)]


@pytest.mark.parametrize("count", range(1, 11))
def test_a_push_asks_twelve_questions_at_most(phone, entries, count):
    phone.push(claim=True)

    questions = asked(phone, entries(count))

    assert len(questions) <= 12, "\n".join(questions)


def test_a_longer_history_asks_no_more(phone, entries):
    phone.push(*entries(5), claim=True)
    short = asked(phone, entries(5, first=10))
    phone.push(*entries(200, first=100), claim=True)

    long = asked(phone, entries(5, first=400))

    assert len(long) == len(short)


def test_nor_where_cards_come_and_change_after_four_weeks(db):
    now = datetime.now(tz=UTC)
    clinician = clinic_of(patients=1, days=28, now=now)
    patient = clinician.patients.get()
    phone = PairedPhone(patient, clinician, now, standing=True)
    revision = Revision.objects.get(program__patient=patient)
    program = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    hard = BOUT | {"discomfort": 9, "intensity": [{"channel": 1, "value": 80, "unit": "mA"}]}

    cards, said = [], []
    for count in range(1, 11):
        kinds = ("bout", hard), ("skin_check", skin())
        days = [(now - timedelta(days=n // 2)).date().isoformat() for n in range(count)]
        batch = [phone.entry(*kinds[n % 2], **program, for_date=day) for n, day in enumerate(days)]
        said.append(asked(phone, batch))
        cards.append(dict(Flag.objects.values_list("id", "fact_at")))

    assert cards[0]  # new cards
    assert cards[1].keys() > cards[0].keys()  # and some that stood,
    assert any(cards[1][one] > moment for one, moment in cards[0].items())  # changed, at once
    assert max(map(len, said)) <= 12, "\n".join(max(said, key=len))
