"""Visits: written once, corrected by a new version; a supervised bout counts once."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import DatabaseError, connection, transaction

from clinician.selectors.contacts import contacts_standing
from clinician.selectors.visits import patient_visits
from clinician.services.visits import CounterSeen
from homeprogram.errors import HomeProgramError, RuleBroken
from homeprogram.models import Patient, PatientDay, Visit
from homeprogram.selectors.record import stimulators_of_clinic
from homeprogram.services.patients import episode_add
from homeprogram.services.projections import patient_rebuild
from homeprogram.services.rebuild import record_check
from tests.conftest import NOW
from tests.entries import BOUT, entry_id
from tests.support.desk import make_loan, make_visit, seen_bout
from tests.support.pushes import push_at

DAY = timedelta(days=1)
HOUR = timedelta(hours=1)


@pytest.fixture
def later(now):
    """The first day of the revision, nine o'clock."""
    return now + DAY


@pytest.fixture
def write(episode, clinician, now):
    """A visit of that day."""

    def written(day: int = 0, **said):
        return make_visit(episode, clinician, now + day * DAY, **said)

    return written


@pytest.fixture
def seen(write, episode, later):
    """A visit of the first day with a supervised bout at eight."""

    def visited(**said):
        return write(1, bout=seen_bout(episode.clinic, later - HOUR, **said))

    return visited


def refusal(act) -> HomeProgramError:
    with pytest.raises(HomeProgramError) as refused:
        act()
    return refused.value


def days() -> list[tuple]:
    names = ("day", "bouts_done", "bouts_partial", "contractions", "minutes", "at_floor")
    return [
        (str(day), *rest) for day, *rest in PatientDay.objects.order_by("day").values_list(*names)
    ]


def log_bout(phone, revision, moment, at: str = "08:05") -> dict:
    entry = phone.entry(
        "bout",
        BOUT | {"started_at": f"2030-03-05T{at}"},
        episode_id=str(revision.program.episode_id),
        revision_id=str(revision.id),
    )
    push_at(phone, moment, entry)
    return entry


def test_a_visit_is_in_the_contact_log_once(patient, episode, clinician, now):
    visit = make_visit(episode, clinician, now, kind="home")

    contact = contacts_standing(patients=[patient]).get()
    assert (contact.visit, contact.way, contact.minutes) == (visit, "home", 30)


def test_its_correction_corrects_the_contact_and_keeps_both(patient, write):
    first = write(minutes=90, measures={"lag_deg": 50})

    write(measures={"lag_deg": 5}, replaces=first)

    assert [one.minutes for one in contacts_standing(patients=[patient])] == [30]
    (line,) = patient_visits(patient=patient).newest
    assert line.measures == [("Quadriceps lag", "5°")]
    assert "Quadriceps lag: 50°" in line.earlier[0]
    assert Visit.objects.count() == 2


def test_a_version_is_corrected_once(episode, clinician, now):
    first = make_visit(episode, clinician, now)
    make_visit(episode, clinician, now, replaces=first)

    refused = refusal(lambda: make_visit(episode, clinician, now, replaces=first))

    assert refused.code == "visit_corrected"


@pytest.mark.parametrize("table", ["homeprogram_visit", "homeprogram_supervisedbout"])
def test_nothing_of_a_visit_is_changed_in_place(seen, table):
    visit = seen()

    with pytest.raises(RuleBroken):
        visit.save()
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        connection.cursor().execute(f"DELETE FROM {table}")


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"note": " "}, "visit_empty"),
        ({"at": NOW + DAY}, "visit_to_come"),
        ({"measures": {"lag_deg": 500}}, "measure_invalid"),
    ],
)
def test_an_odd_visit_is_refused_whole(patient, write, said, code):
    assert refusal(lambda: write(**said)).code == code
    assert not contacts_standing(patients=[patient]).exists()


def test_a_visit_of_no_known_kind_is_refused(episode, clinician, now):
    with pytest.raises(ValidationError):
        make_visit(episode, clinician, now, kind="dream")


def test_a_supervised_bout_counts_towards_its_day(seen):
    seen()

    assert days() == [("2030-03-05", 1, 0, 15, 15.0, 1)]


@pytest.mark.parametrize("phone_first", [True, False], ids=["phone first", "visit first"])
def test_the_phones_log_of_the_same_bout_counts_once(seen, phone, revision, later, phone_first):
    if phone_first:
        log_bout(phone, revision, later)
    seen()
    if not phone_first:
        log_bout(phone, revision, later)

    assert days() == [("2030-03-05", 1, 0, 15, 15.0, 1)]


def test_another_bout_of_the_day_counts_beside_it(seen, phone, revision, later):
    seen()
    log_bout(phone, revision, later, at="19:00")

    assert days() == [("2030-03-05", 2, 0, 30, 30.0, 2)]


def test_when_the_phones_entry_is_withdrawn_the_supervised_one_counts_again(
    seen, phone, revision, later
):
    seen(contractions=5)
    entry = log_bout(phone, revision, later)
    push_at(phone, later, phone.entry("withdrawal", {"of": entry_id(entry), "reason": "not mine"}))

    assert days() == [("2030-03-05", 0, 1, 5, 15.0, 1)]


def test_a_correction_without_the_bout_takes_it_off_the_day(seen, write):
    write(1, replaces=seen())

    assert days() == []


@pytest.fixture
def right(patient, later):
    """Care of the other limb, without a program yet."""
    return episode_add(
        patient=patient,
        limb="right",
        pathway="conservative",
        starts_on=later.date(),
        now=later,
    )


def test_the_first_bout_is_seen_before_there_is_a_program(right, clinician, later):
    make_visit(right, clinician, later, bout=seen_bout(right.clinic, later - HOUR))

    assert days() == [("2030-03-05", 1, 0, 15, 15.0, 0)]


def test_a_correction_to_the_other_limb_takes_the_bout_along(seen, right, clinician, later):
    bout = seen_bout(right.clinic, later - HOUR)

    make_visit(right, clinician, later, bout=bout, replaces=seen())

    assert [row.episode for row in PatientDay.objects.all()] == [right]


def test_the_clock_looks_soon_at_what_a_supervised_bout_did_to_the_flags(seen, patient, now):
    Patient.objects.filter(id=patient.id).update(flags_next_at=now + DAY)

    seen()

    assert Patient.objects.get().flags_next_at is None


def test_a_rebuild_finds_the_same_days(seen, phone, revision, patient, later):
    seen()
    log_bout(phone, revision, later, at="19:00")
    before = days()

    differing = record_check(patient_id=patient.id)
    patient_rebuild(patient=patient)

    assert not any(differing.values())
    assert days() == before


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"minutes": 0}, "supervised_bout_invalid"),
        ({"contractions": 0}, "supervised_bout_invalid"),
        ({"intensity": []}, "supervised_bout_invalid"),
        (
            {"intensity": [{"channel": 1, "start": 40, "floor": 30, "ceiling": 50}]},
            "intensity_order",
        ),
        (
            {"intensity": [{"channel": 1, "start": 20, "floor": 30, "ceiling": 900}]},
            "ceiling_above_stimulator",
        ),
    ],
)
def test_a_bout_that_cannot_have_been_is_refused(seen, said, code):
    assert refusal(lambda: seen(**said)).code == code
    assert not Visit.objects.exists()


@pytest.mark.parametrize(
    ("said", "field"), [({"kind": "telephone"}, "kind"), ({"at": NOW}, "started")]
)
def test_a_bout_is_supervised_face_to_face_on_the_day(write, episode, later, said, field):
    bout = seen_bout(episode.clinic, later)

    assert refusal(lambda: write(1, bout=bout, **said)).fields.keys() == {field}


@pytest.fixture
def counter(clinic, clinician, patient, now):
    """A lent stimulator that counts its hours."""
    profile = stimulators_of_clinic(clinic=clinic)[0]
    profile.counter = "hours"
    profile.save()
    own = make_loan(patient, clinician, now).stimulator
    own.profile.refresh_from_db()
    return lambda value: CounterSeen(profile=own.profile, own=own, value=value)


def usage(patient) -> list[list[str]]:
    return [line.usage for line in patient_visits(patient=patient).newest]


def test_the_counter_is_held_beside_the_log_since_its_last_reading(
    write, counter, phone, revision, later
):
    write(counter=counter(100))
    log_bout(phone, revision, later, at="07:00")
    bout = seen_bout(revision.clinic, later - HOUR)
    write(1, counter=counter(103), bout=bout)

    newest, first = usage(phone.row.patient)
    assert first == ["Usage counter of KN-01: 100 hours. The first reading."]
    assert newest[0] == (
        "Usage counter of KN-01: 103 hours. Since Mon 4 Mar 2030 it went up by 3 hours; "
        "the log holds 0.5 hours: 2.5 hours more in the counter. You may ask how it came about."
    )
    assert "cannot see who used the stimulator" in newest[1]


def test_a_bout_is_held_beside_the_counter_at_the_hour_it_was_corrected_to(
    write, counter, phone, revision, later
):
    write(counter=counter(100))
    entry = log_bout(phone, revision, later, at="19:00")
    said = {"payload": BOUT | {"started_at": "2030-03-05T07:00"}, "reason": "it was the morning"}
    push_at(phone, later, phone.entry("correction", {"of": entry_id(entry)} | said))

    write(1, counter=counter(100.5))

    assert "the log holds 0.2 hours" in usage(phone.row.patient)[0][0]


def test_a_counter_that_went_back_is_compared_with_nothing(write, patient, counter):
    write(counter=counter(100))
    write(1, counter=counter(2))

    assert "it was set back, another one was read" in usage(patient)[0][0]


def test_without_a_counter_in_its_profile_none_is_read(write, clinic):
    profile = stimulators_of_clinic(clinic=clinic)[0]

    refused = refusal(lambda: write(counter=CounterSeen(profile=profile, value=3)))

    assert refused.code == "no_counter"
