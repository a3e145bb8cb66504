"""A revision takes effect the day after a phone names it."""

from datetime import UTC, date, datetime, timedelta

import pytest

from homeprogram.models import RevisionOnPhone
from homeprogram.selectors.plans import context_of
from homeprogram.selectors.pull import changes_rendered
from homeprogram.services.pairing import phone_revoke
from homeprogram.services.patients import patient_add
from homeprogram.services.programs import revision_add
from tests.conftest import PairedPhone, make_dose, make_program
from tests.support.pushes import push_at


def told(patient, after: int = 0) -> list[dict]:
    return [
        change["program"]["revisions"]
        for change in changes_rendered(patient=patient, after=after).changes
        if change["type"] == "program"
    ]


def effective_from(patient) -> list[str | None]:
    return [revision["effective_from"] for revision in told(patient)[-1]]


def test_until_a_push_names_it_a_revision_is_not_in_effect(phone, patient, revision, now):
    push_at(phone, now)

    assert effective_from(patient) == [None]


def test_it_takes_effect_the_day_after(phone, patient, revision, now):
    push_at(phone, now + timedelta(days=3), have=[revision.id])

    assert effective_from(patient) == ["2030-03-08"]


def test_it_does_not_take_effect_before_its_first_day(phone, patient, revision, now):
    push_at(phone, now - timedelta(days=5), have=[revision.id])

    assert effective_from(patient) == ["2030-03-05"]


@pytest.mark.parametrize(
    ("zone", "moment", "day"),
    [
        # 2030-03-10 08:30 UTC is still the 9th west of it and already the 10th in the east.
        ("Pacific/Honolulu", datetime(2030, 3, 10, 8, 30, tzinfo=UTC), "2030-03-10"),
        ("Pacific/Apia", datetime(2030, 3, 10, 11, 30, tzinfo=UTC), "2030-03-12"),
    ],
)
def test_the_day_is_the_patients_own(clinician, now, zone, moment, day):
    patient = patient_add(by=clinician, name="Wilma Tarn", now=now, zone=zone)
    revision = make_program(patient, clinician, now)
    phone = PairedPhone(patient, clinician, now)

    push_at(phone, moment, have=[revision.id])

    assert effective_from(patient) == [day]


def test_the_phones_are_told_again(phone, patient, revision, now):
    before = changes_rendered(patient=patient, after=0).version

    push_at(phone, now, have=[revision.id])

    assert [len(revisions) for revisions in told(patient, before)] == [1]


def test_the_first_naming_counts(phone, patient, revision, now):
    push_at(phone, now + timedelta(days=1), have=[revision.id])
    after_first = changes_rendered(patient=patient, after=0).version

    push_at(phone, now + timedelta(days=9), have=[revision.id])

    assert effective_from(patient) == ["2030-03-06"]
    assert changes_rendered(patient=patient, after=after_first).changes == []


def test_a_foreign_revision_is_not_named(phone, outsider, now):
    foreign = make_program(patient_add(by=outsider, name="Una Far", now=now), outsider, now)

    push_at(phone, now, have=[foreign.id])

    assert not RevisionOnPhone.objects.exists()


def test_a_replaced_phone_names_nothing(phone, revision, now):
    phone_revoke(phone=phone.row, state="replaced", now=now)

    push_at(phone, now, have=[revision.id])

    assert not RevisionOnPhone.objects.exists()


def test_a_new_dose_waits_for_the_phone_while_the_old_one_goes_on(
    phone, patient, revision, clinician, now
):
    push_at(phone, now, have=[revision.id])
    second = revision_add(
        program=revision.program,
        by=clinician,
        dose=make_dose(bouts_per_day=2),
        stimulator=revision.stimulator,
        first_day=date(2030, 3, 6),
        reason="progress",
        now=now,
    )

    def due(day: int) -> int:
        context = context_of(patient=patient, now=now + timedelta(days=14), days_back=28)
        on = date(2030, 3, day)
        return context.days(context.episodes[0], on, on)[0].due.due

    offline = [due(day) for day in (5, 6, 7, 8)]
    push_at(phone, now + timedelta(days=3), have=[revision.id, second.id])
    named = [due(day) for day in (5, 6, 7, 8)]

    assert offline == [1, 1, 1, 1]
    assert named == [1, 1, 1, 2]
