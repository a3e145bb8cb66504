"""The clock's round of flags: who is looked at when, and that it judges as a push does."""

from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from homeprogram.models import Flag, Patient
from homeprogram.services.changes import flags_look_soon
from homeprogram.services.clinics import clinic_rules_set
from homeprogram.services.flag_rounds import flags_tick
from homeprogram.services.flags import patient_flags_refresh
from homeprogram.services.pairing import phone_revoke
from homeprogram.services.programs import program_pause
from tests.conftest import PairedPhone
from tests.entries import BOUT
from tests.support.pushes import push_at
from tests.support.reminding import due_patient

HOUR, DAY = timedelta(hours=1), timedelta(days=1)


@pytest.fixture
def told(phone, revision, now):
    push_at(phone, now, have=[revision.id], claim=True)
    return phone


def looked_at(moments) -> list[datetime]:
    return [at for at in moments if flags_tick(now=at).patients]


def test_each_patient_is_looked_at_once_a_night_and_when_the_day_closes(told, patient, now):
    Patient.objects.filter(id=patient.id).update(zone="Asia/Kolkata")
    minutes = [now + n * timedelta(minutes=15) for n in range(4 * 36)]

    found = looked_at(minutes)

    assert found[0] == now  # something had come
    local = [at + timedelta(hours=5, minutes=30) for at in found[1:]]
    assert [f"{at:%d %H:%M}" for at in local] == ["05 00:00", "05 12:00", "06 00:00"]


def test_a_second_clock_finds_nothing_left_to_do(told, now):
    assert flags_tick(now=now).patients == 1
    assert flags_tick(now=now).patients == 0


def test_what_the_desk_decides_is_looked_at_by_the_next_round(told, revision, clinician, now):
    flags_tick(now=now)
    program_pause(program=revision.program, by=clinician, reason="travel", now=now + HOUR)

    assert flags_tick(now=now + HOUR).patients == 1


@pytest.mark.parametrize(
    "act",
    [
        lambda phone, now: phone_revoke(phone=phone.row, state="replaced", now=now),
        lambda phone, now: PairedPhone(phone.row.patient, phone.row.confirmed_by, now),
    ],
    ids=["a phone is gone", "another phone"],
)
def test_days_that_are_no_longer_known_are_looked_at_by_the_next_round(told, now, act):
    flags_tick(now=now)
    act(told, now + HOUR)

    assert flags_tick(now=now + HOUR).patients == 1


def test_a_push_is_judged_at_once_and_not_again(told, now):
    flags_tick(now=now)
    push_at(told, now + HOUR, told.entry("not_done", {"ordinal": 1, "reason": "ill"}))

    assert flags_tick(now=now + HOUR).patients == 0


@pytest.mark.any_database
@pytest.mark.parametrize("seed", [7])
def test_a_round_without_entries_misses_nothing_that_a_whole_look_would_see(
    story_of_a_month, patient, seed
):
    """At every turn of three weeks of odd bouts: what the round left, a whole look leaves too."""
    turns = 0
    for at in story_of_a_month(seed):
        while (turn := Patient.objects.get().flags_next_at) and turn <= at:
            flags_tick(now=turn)
            left = list(Flag.objects.order_by("id").values())
            patient_flags_refresh(patient_id=patient.id, now=turn)
            assert list(Flag.objects.order_by("id").values()) == left
            turns += 1

    assert turns > 30


@pytest.fixture
def story_of_a_month(told, revision, patient, now):
    """`story(seed)`: hours that pass, on some of which bouts arrive, easy ones and bad ones."""

    def story(seed: int):
        chance = Random(seed)
        flags_tick(now=now)
        for hour in range(0, 24 * 21, 6):
            at = now + hour * HOUR
            yield at
            if chance.random() < 0.35:
                worse = chance.random() < 0.4
                said = {
                    "discomfort": chance.choice([8, 9]) if worse else 2,
                    "knee_pain_after": chance.choice([5, 8]) if worse else 1,
                    "contractions": chance.choice([4, 15]),
                }
                bout = told.entry(
                    "bout", BOUT | said, for_date=f"{at:%Y-%m-%d}",
                    local_time=f"{at:%Y-%m-%dT%H:%M:%S}",
                    episode_id=str(revision.program.episode_id), revision_id=str(revision.id),
                )  # fmt: skip
                push_at(told, at, bout, claim=chance.random() < 0.7)

    return story


def test_a_silence_is_told_in_the_minute_it_has_lasted_too_long(told, now):
    moments = [now + n * timedelta(minutes=30) for n in range(2 * 24 * 4)]
    opened = [at for at in moments if flags_tick(now=at).changed]

    # Heard on Monday at 9; due from Tuesday 0:00 on, and two days later it is too long.
    assert opened[0] == datetime(2030, 3, 7, 0, 0, tzinfo=UTC)
    assert Flag.objects.get(reason="no_contact").opened_at == opened[0]


def test_changed_thresholds_are_judged_by_the_next_round(told, clinic, clinician, now):
    later = now + 4 * DAY + 5 * HOUR
    flags_tick(now=later)
    Flag.objects.all().delete()
    clinic_rules_set(clinic=clinic, rules={"no_contact_h": 30}, by=clinician, now=later)

    assert flags_tick(now=later + HOUR / 2).patients == 1


def test_a_round_comes_to_what_a_look_at_each_one_comes_to(clinician, now):
    people = [due_patient(clinician, now, f"Una {n}") for n in range(3)]
    for day in range(6):
        flags_tick(now=now + day * DAY + 4 * HOUR)
    in_bulk = shown()
    Flag.objects.all().delete()
    for one in people:
        patient_flags_refresh(patient_id=one.id, now=now + 5 * DAY + 4 * HOUR)

    assert in_bulk == shown() != []


def shown() -> list[tuple]:
    return sorted(Flag.objects.values_list("patient", "reason", "state"))


def test_the_queries_of_a_round_do_not_grow_with_the_patients(
    clinician, now, django_assert_num_queries
):
    counts = []
    for size in (1, 4):
        for n in range(size):
            due_patient(clinician, now, f"Una {size} {n}")
        flags_tick(now=now)
        flags_look_soon(patients=Patient.objects.all())
        counts.append(queries(now))

    assert counts[0] == counts[1]


def queries(now) -> int:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    with CaptureQueriesContext(connection) as seen:
        flags_tick(now=now)
    return len(seen)
