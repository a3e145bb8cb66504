"""The patient page asks the record as often for a year as for a month, and few times."""

from datetime import UTC, datetime

from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.support.reading import text_of
from tests.support.whole_patient import SHOWN, whole_patient

MOST = 15  # who is there included


def asked(client, patient, weeks: str) -> int:
    with CaptureQueriesContext(connection) as seen:
        answer = client.get(f"/desk/patients/{patient.id}/?weeks={weeks}")
    page = text_of(answer)
    assert [words for words in SHOWN if words not in page] == []
    return len(seen)


def test_a_year_costs_the_questions_of_a_month_with_something_in_every_section(client, db):
    counts = {}
    for days in (30, 365):
        patient, clinician = whole_patient(days=days, now=datetime.now(tz=UTC))
        client.force_login(clinician.user)
        asked(client, patient, "4")  # the session is written once a minute
        counts[days] = [asked(client, patient, weeks) for weeks in ("4", "12", "all")]

    assert counts[30] == counts[365]
    assert max(counts[30]) <= MOST
