"""Two people at two desks at the same moment: on real connections at once."""

from collections import Counter

import pytest
from django.db import connection
from django.utils import timezone

from clinician.models import Contact, IncidentClosing, Loan
from clinician.services.incidents import incident_close
from clinician.services.lending import loan_return
from homeprogram.errors import RuleBroken
from homeprogram.services.patients import patient_add
from tests.conftest import make_clinic, make_clinician
from tests.support.concurrency import at_once, committed
from tests.support.desk import make_contact, make_incident, make_loan, make_own

TIMES = 6

pytestmark = pytest.mark.skipif(
    connection.vendor != "postgresql", reason="SQLite lets one writer in at a time"
)


@pytest.fixture
def people(django_db_setup, django_db_blocker):
    """A clinician and as many patients as desks."""
    with committed(django_db_blocker):
        now = timezone.now()
        by = make_clinician(make_clinic(now), "ro@larkrise.example", now)
        yield by, [patient_add(by=by, name=f"Patient {n}", now=now) for n in range(TIMES)], now


def told(results: list[object]) -> Counter:
    """How many got through, and with what word the others were refused."""
    return Counter(one.code if isinstance(one, RuleBroken) else "done" for one in results)


def test_a_stimulator_that_many_lend_at_once_goes_to_one(people):
    by, patients, now = people
    own = make_own(by, now)

    results = at_once(TIMES, lambda n: make_loan(patients[n], by, now, own))

    assert told(results) == {"done": 1, "already_lent": TIMES - 1}
    assert Loan.objects.filter(stimulator=own, returned_at=None).count() == 1


def test_it_is_taken_back_once(people):
    by, patients, now = people
    loan = make_loan(patients[0], by, now)

    results = at_once(TIMES, lambda _: loan_return(loan=loan, by=by, now=now))

    assert told(results) == {"done": 1, "already_returned": TIMES - 1}


def test_a_contact_that_many_correct_at_once_has_one_correction(people):
    by, patients, now = people
    first = make_contact(patients[0], by, now)

    results = at_once(TIMES, lambda _: make_contact(patients[0], by, now, corrects=first))

    assert told(results) == {"done": 1, "contact_corrected": TIMES - 1}
    assert Contact.objects.filter(corrects=first).count() == 1


def test_an_incident_that_many_close_at_once_has_one_name(people):
    by, patients, now = people
    incident = make_incident(patients[0], by, now)

    results = at_once(
        TIMES, lambda _: incident_close(incident=incident, by=by, reason="healed", now=now)
    )

    assert told(results) == {"done": 1, "incident_closed": TIMES - 1}
    assert IncidentClosing.objects.count() == 1
