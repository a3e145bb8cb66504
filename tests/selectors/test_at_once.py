"""Several tables in one question: the rows are those that ordinary questions give."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from homeprogram import models
from homeprogram.selectors.at_once import MOST_ABOUT, Columns, rows_about, rows_at_once
from homeprogram.services.holds import hold_lift
from homeprogram.services.programs import program_pause
from tests.entries import BOUT, skin
from tests.support.desk import make_visit, seen_bout
from tests.support.prescribing import make_strength_test
from tests.support.pushes import push_at

TABLES = (
    models.Patient,
    models.Phone,
    models.Episode,
    models.HomeProgram,
    models.Revision,
    models.RevisionOnPhone,
    models.StimulatorProfile,
    models.Pause,
    models.Hold,
    models.Lift,
    models.Flag,
    models.StrengthTest,
    models.SupervisedBout,
    models.HeldEntry,
    models.PatientDay,
    models.Bout,
)


@pytest.fixture
def lived(phone, revision, clinician, now):
    """A row or more in each of the tables, with awkward numbers, texts and moments."""
    said = BOUT | {"minutes": 0.1 + 0.2, "note": 'It "stung": 100 % \\ ½'}
    program = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    later = now + timedelta(days=2, microseconds=123_400)
    push_at(phone, now, have=[revision.id])
    push_at(
        phone,
        later,
        phone.entry("bout", said, for_date="2030-03-05", **program),
        phone.entry("skin_check", skin(raised=True), for_date="2030-03-05", **program),
        phone.entry("invented", {"what": 'ä "quoted" \\ text'}),
        claim=True,
    )
    program_pause(program=revision.program, by=clinician, reason="travel", now=later)
    patient, episode = revision.program.patient, revision.program.episode
    holds = list(models.Hold.objects.all())
    hold_lift(patient=patient, by=clinician, holds=holds, reason="seen", now=later)
    make_strength_test(episode, clinician, later, on=later.date())
    make_visit(episode, clinician, later, bout=seen_bout(episode.clinic, later))


def columns(row) -> dict:
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def told(rows) -> list[dict]:
    return sorted((columns(row) for row in rows), key=lambda row: str(row["id"]))


@pytest.mark.parametrize("model", TABLES, ids=lambda model: model.__name__)
def test_a_row_is_the_one_an_ordinary_question_gives(lived, model):
    stored = list(model.objects.all())

    found = rows_at_once(asked=model.objects.all(), other=models.Clinic.objects.all())["asked"]

    assert stored
    assert told(found) == told(stored)
    assert [type(v) for row in told(found) for v in row.values()] == [
        type(v) for row in told(stored) for v in row.values()
    ]


def test_all_tables_are_one_question(lived):
    with CaptureQueriesContext(connection) as queries:
        rows_at_once(**{model.__name__: model.objects.all() for model in TABLES})

    assert len(queries) == 1


def test_columns_come_as_plain_lists(lived, episode):
    rows = models.PatientDay.objects.filter(day="2030-03-05")
    days = Columns(rows, ("episode_id", "day", "minutes", "excused"))

    [found] = rows_at_once(days=days, phones=models.Phone.objects.all())["days"]

    assert found == [episode.id, datetime(2030, 3, 5, tzinfo=UTC).date(), 0.1 + 0.2, False]


def test_a_question_that_finds_nothing_has_an_empty_list(clinic):
    found = rows_at_once(clinics=models.Clinic.objects.all(), flags=models.Flag.objects.all())

    assert (len(found["clinics"]), found["flags"]) == (1, [])


def test_a_question_about_nobody_has_an_empty_list(clinic):
    nobody = models.Patient.objects.filter(id__in=[])

    found = rows_at_once(clinics=models.Clinic.objects.all(), patients=nobody)

    assert (len(found["clinics"]), found["patients"]) == (1, [])
    assert rows_at_once(patients=nobody, none=nobody) == {"patients": [], "none": []}


def asked(who, since) -> dict:
    days = models.PatientDay.objects.filter(patient__in=who, day__gte=since)
    return {"days": days, "phones": models.Phone.objects.filter(patient__in=who)}


@pytest.mark.parametrize("others", [0, 1, 40, MOST_ABOUT], ids="beside {} others".format)
def test_a_remembered_question_finds_what_an_ordinary_one_finds(lived, patient, others):
    who = [*(uuid4() for _ in range(others)), patient.id]
    last = models.PatientDay.objects.latest("day").day

    for since in (last, last + timedelta(days=1), last - timedelta(days=30)):
        rows, stored = rows_about(asked, who, since=[since]), asked(who, since)
        assert {name: told(some) for name, some in rows.items()} == {
            name: told(some) for name, some in stored.items()
        }


def test_a_remembered_question_about_nobody_has_empty_lists(lived, now):
    assert rows_about(asked, [], since=[now.date()]) == {"days": [], "phones": []}


def test_a_question_that_forgets_whom_it_is_about_is_refused(lived, patient):
    with pytest.raises(ValueError, match="about everybody"):
        rows_about(lambda _: {"clinics": models.Clinic.objects.all()}, [patient.id])
