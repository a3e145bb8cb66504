"""Every read by id goes through the clinic: another's rows are like none."""

from uuid import uuid4

import pytest

from homeprogram.models import Flag, HeldEntry, Hold, PairingCode
from homeprogram.selectors import record
from homeprogram.services.programs import program_pause
from tests.conftest import PairedPhone, make_program
from tests.entries import skin
from tests.support.pushes import push_at


@pytest.fixture
def rows(phone, revision, episode, clinician, now) -> dict:
    """One row of every kind that is read by id, with the argument that names it."""
    check = phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id))
    push_at(phone, now, check, phone.entry("song", {}))
    pause = program_pause(program=revision.program, by=clinician, reason="illness", now=now)
    return {
        "patient": episode.patient,
        "episode": episode,
        "program": revision.program,
        "revision": revision,
        "pause": pause,
        "phone": phone.row,
        "flag": Flag.objects.get(reason="skin_reaction"),
        "held": HeldEntry.objects.get(),
        "clinician": clinician,
    }


KINDS = (
    "patient", "episode", "program", "revision", "pause", "phone", "flag", "held", "clinician",
)  # fmt: skip


def read(kind: str, clinic, row_id):
    return getattr(record, f"{kind}_of_clinic")(clinic=clinic, **{f"{kind}_id": row_id})


@pytest.mark.parametrize("kind", KINDS)
def test_its_own_clinic_reads_it(rows, clinic, kind):
    assert read(kind, clinic, rows[kind].id) == rows[kind]


@pytest.mark.parametrize("kind", KINDS)
def test_another_clinic_reads_nothing(rows, outsider, kind):
    assert read(kind, outsider.clinic, rows[kind].id) is None


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_not_there_reads_the_same(clinic, kind):
    assert read(kind, clinic, uuid4()) is None


def test_every_reader_by_id_is_asked_here():
    readers = {
        name
        for name in dir(record)
        if name.endswith("_of_clinic") and callable(getattr(record, name))
    }

    lists = {"patients_of_clinic", "stimulators_of_clinic", "clinicians_of_clinic"}
    assert {name.removesuffix("_of_clinic") for name in readers - lists} == set(KINDS)


def test_lists_hold_one_clinics_rows(rows, clinic, outsider, now):
    from homeprogram.services.patients import patient_add

    far = patient_add(by=outsider, name="Una Far", now=now)

    assert list(record.patients_of_clinic(clinic=clinic)) == [rows["patient"]]
    assert list(record.patients_of_clinic(clinic=outsider.clinic)) == [far]
    assert record.clinicians_of_clinic(clinic=outsider.clinic) == [outsider]
    mine, theirs = (
        {s.id for s in record.stimulators_of_clinic(clinic=one)}
        for one in (clinic, outsider.clinic)
    )
    assert (len(mine), len(theirs), mine & theirs) == (3, 3, set())


def test_archived_patients_leave_the_list(patient, clinic, now):
    patient.archived_at = now
    patient.save(update_fields=["archived_at"])

    assert list(record.patients_of_clinic(clinic=clinic)) == []
    assert record.patient_of_clinic(clinic=clinic, patient_id=patient.id) == patient


def test_standing_holds_leave_out_the_lifted(rows, patient, clinician, now):
    from homeprogram.services.holds import hold_lift

    before = record.standing_holds_of_patient(patient=patient)
    hold_lift(patient=patient, by=clinician, holds=before, reason="healed", now=now)

    assert before == list(Hold.objects.all())
    assert record.standing_holds_of_patient(patient=patient) == []


def test_open_cards_come_first(rows, phone, patient, clinician, now):
    from homeprogram.services.flag_acts import flag_close

    flag_close(flag=rows["flag"], by=clinician, outcome="acted_on", reason="seen", now=now)
    push_at(phone, now, phone.entry("stop_report", {"symptoms": ["numb"]}))

    opened = record.open_flags_of_patient(patient=patient)
    every = record.flags_of_patient(patient=patient)

    assert {flag.reason for flag in opened} == {"held_entry", "stop_report"}
    assert [flag.state for flag in every] == ["open", "open", "closed"]


def test_held_entries_come_oldest_first_until_they_are_settled(phone, patient, clinician, now):
    push_at(phone, now, phone.entry("song", {}), phone.entry("dance", {}))
    both = record.held_entries_of_patient(patient=patient)
    both[0].settled_at, both[0].settled_by = now, clinician
    both[0].save()

    assert len(both) == 2
    assert record.held_entries_of_patient(patient=patient) == both[1:]


def test_revisions_and_phones_come_newest_first(revision, phone, patient, clinician, now):
    from datetime import timedelta

    later = now + timedelta(days=1)
    second = PairedPhone(patient, clinician, later)

    assert [one.id for one in record.phones_of_patient(patient=patient)] == [second.id, phone.id]
    assert record.revisions_of_program(program=revision.program) == [revision]
    assert PairingCode.objects.count() == 2


def test_episodes_come_with_or_without_a_program(patient, clinician, now):
    from homeprogram.services.patients import episode_add

    with_one = make_program(patient, clinician, now).program
    without = episode_add(
        patient=patient, limb="right", pathway="conservative", starts_on=now.date(), now=now
    )

    found = {
        one.id: getattr(one, "program", None) for one in record.episodes_of_patient(patient=patient)
    }

    assert found == {with_one.episode_id: with_one, without.id: None}
