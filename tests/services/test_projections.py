"""Rows that are read from entries; how entries are read is in tests/rules."""

import pytest

from homeprogram.models import Bout, PadNews, PatientDay, SkinCheck
from homeprogram.services.projections import patient_rebuild
from homeprogram.services.rebuild import record_check
from tests.entries import BOUT, entry_id, skin
from tests.support.pushes import push_at

TABLES = (Bout, SkinCheck, PadNews, PatientDay)


@pytest.fixture
def program(revision) -> dict:
    return {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}


def bout(phone, program, milliamps: float = 40, **payload) -> dict:
    intensity = [{"channel": 1, "value": milliamps, "unit": "mA"}]
    return phone.entry("bout", BOUT | {"intensity": intensity} | payload, **program)


def pads_told(phone, program, news: str) -> dict:
    said = {"text": "Pads.", "wants_contact": False, "pads": news}
    return phone.entry("note_to_clinic", said, episode_id=program["episode_id"])


@pytest.fixture
def log(phone, program, now):
    """Three days with everything that can happen to an entry."""
    first, second = bout(phone, program), bout(phone, program, contractions=3)
    gone, new = (pads_told(phone, program, "new") for _ in range(2))
    push_at(
        phone,
        now,
        first,
        second,
        phone.entry("skin_check", skin("before", colour="slight", pattern="even"), **program),
        phone.entry("not_done", {"ordinal": 2, "reason": "pain"}, **program),
        phone.entry("bout", BOUT, **program, for_date="2030-03-06"),
        phone.entry("morning_check", {"swelling": "none", "knee_pain": 1}, **program),
        phone.entry("withdrawal", {"of": entry_id(first), "reason": "not mine"}),
        gone,
        new,
        phone.entry("withdrawal", {"of": entry_id(gone), "reason": "not changed"}),
        phone.entry(
            "correction",
            {"of": entry_id(second), "payload": BOUT, "reason": "mistyped"},
            for_date="2030-03-09",
        ),
    )


def rows() -> list[list[dict]]:
    """Everything but the numbers a rebuild draws anew."""
    tables = []
    for model in TABLES:
        fields = [f.attname for f in model._meta.concrete_fields if not f.primary_key]
        tables.append(sorted(model.objects.values(*fields), key=str))
    return tables


def test_a_day_counts_what_its_entries_say(log):
    day = PatientDay.objects.get(day="2030-03-05")

    assert (day.bouts_done, day.bouts_partial, day.contractions) == (1, 0, 15)
    assert (day.minutes, day.at_floor, day.not_done, day.excused) == (15, 1, 1, True)


def test_a_rebuild_makes_the_same_rows(log, patient):
    before = rows()

    patient_rebuild(patient=patient)

    assert rows() == before
    assert [len(table) for table in before] == [2, 1, 1, 2]


def test_a_rebuild_repairs_what_was_spoiled(log, patient):
    before = rows()
    PatientDay.objects.update(bouts_done=7)
    Bout.objects.all().delete()
    PadNews.objects.update(news="wont_stick")

    differing = record_check(patient_id=patient.id)
    patient_rebuild(patient=patient)

    assert differing == {"Bout": 2, "SkinCheck": 0, "PadNews": 1, "PatientDay": 2}
    assert rows() == before


@pytest.mark.parametrize(
    ("contractions", "complete"), [(11, False), (12, True), (15, True), (0, False)]
)
def test_a_bout_is_complete_from_four_fifths_of_fifteen(
    phone, program, now, contractions, complete
):
    push_at(phone, now, bout(phone, program, contractions=contractions))

    assert Bout.objects.get().complete is complete


@pytest.mark.parametrize(
    ("milliamps", "measured"),
    [(29.5, (False, False)), (30, (True, False)), (60, (True, False)), (60.5, (True, True))],
)
def test_intensity_is_measured_against_floor_and_ceiling(phone, program, now, milliamps, measured):
    push_at(phone, now, bout(phone, program, milliamps=milliamps))

    stored = Bout.objects.get()
    assert (stored.at_floor, stored.over_ceiling) == measured


def test_one_patients_rows_are_rebuilt_alone(log, patient, clinician, now):
    from homeprogram.services.patients import patient_add

    before = rows()

    patient_rebuild(patient=patient_add(by=clinician, name="Odd Other", now=now))

    assert rows() == before
