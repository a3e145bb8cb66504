"""Incidents: facts locked, added to with a date, closed by name; a burn or fault quarantines."""

from datetime import UTC, timedelta

import pytest
from django.core.exceptions import ValidationError
from django.db import DatabaseError, connection, transaction

from clinician.models import Incident
from clinician.selectors.dose_words import dose_lines
from clinician.selectors.incidents import incident_lines, incident_report
from clinician.selectors.open_matters import open_matters
from clinician.services.incidents import incident_add, incident_close
from homeprogram.errors import RuleBroken
from homeprogram.models import Flag, Pause
from tests.support.desk import make_incident, make_loan

DAY = timedelta(days=1)


@pytest.fixture
def incident(patient, episode, clinician, now) -> Incident:
    return make_incident(patient, clinician, now, episode=episode)


@pytest.fixture
def added_to(incident, clinician, now) -> Incident:
    incident_add(incident=incident, by=clinician, text="It healed.", now=now + DAY)
    incident_close(incident=incident, by=clinician, reason="healed", now=now + DAY)
    return incident


@pytest.mark.parametrize("table", ["incident", "incidentsupplement", "incidentclosing"])
@pytest.mark.parametrize("act", ["DELETE FROM {}", "UPDATE {} SET by_id = by_id"])
def test_nothing_of_an_incident_is_changed_or_removed(added_to, table, act):
    act = act.replace("by_id", "recorded_by_id") if table == "incident" else act

    with pytest.raises(RuleBroken):
        added_to.save()
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        connection.cursor().execute(act.format(f"clinician_{table}"))


def test_the_parameters_in_force_are_copied(incident, revision):
    assert incident.revision == revision
    assert [tuple(line) for line in incident.parameters] == dose_lines(revision)


def test_an_incident_about_no_limb_copies_no_dose(patient, clinician, now):
    assert make_incident(patient, clinician, now, kind="fall").parameters == []


@pytest.mark.parametrize(
    ("kind", "quarantined"), [("burn", True), ("fault", True), ("fall", False), ("other", False)]
)
def test_a_burn_or_a_fault_quarantines_the_stimulator(patient, now, kind, quarantined):
    own = make_loan(patient, patient.clinician, now).stimulator

    make_incident(patient, patient.clinician, now, kind=kind, stimulator=own)

    own.refresh_from_db()
    assert (own.quarantined_at is not None) == quarantined
    assert own.quarantine_reason.startswith("Incident: ") == quarantined


def test_nothing_is_raised_or_paused_by_itself(incident):
    assert not Flag.objects.exists()
    assert not Pause.objects.exists()


def test_it_stands_open_until_somebody_closes_it(incident, patient, clinician, now):
    before = open_matters(patients=[patient], now=now + DAY).incidents
    incident_close(incident=incident, by=clinician, reason="pads changed", now=now + DAY)

    assert before == {patient.id: ["burn or skin injury, recorded 1 day ago"]}
    after = open_matters(patients=[patient], now=now + DAY).incidents
    assert after == {}
    (line,) = incident_lines(Incident.objects.filter(patient=patient), UTC)
    assert line.ending == "Closed Tue 5 Mar 2030, 09:00 by Ro Desk: pads changed"


def test_it_is_closed_once_and_with_a_reason(incident, clinician, lead, now):
    with pytest.raises(RuleBroken) as unsaid:
        incident_close(incident=incident, by=clinician, reason=" ", now=now)
    incident_close(incident=incident, by=clinician, reason="healed", now=now)
    with pytest.raises(RuleBroken) as again:
        incident_close(incident=incident, by=lead, reason="healed", now=now)

    assert (unsaid.value.code, again.value.code) == ("reason_missing", "incident_closed")


def test_what_is_learned_after_the_closing_is_added_with_its_date(added_to, clinician, now):
    incident_add(
        incident=added_to,
        by=clinician,
        text="The maker answered.",
        who_was_told="Dr Ama Lind",
        now=now + 9 * DAY,
    )

    assert incident_report(incident=added_to).supplements[-1] == (
        "Wed 13 Mar 2030, 09:00, Ro Desk",
        "The maker answered.",
        "Dr Ama Lind",
    )


def test_an_empty_supplement_or_a_time_to_come_is_refused(patient, incident, clinician, now):
    with pytest.raises(RuleBroken) as empty:
        incident_add(incident=incident, by=clinician, text=" ", now=now)
    with pytest.raises(RuleBroken) as to_come:
        make_incident(patient, clinician, now, happened_at=now + DAY)

    assert (empty.value.code, to_come.value.code) == ("supplement_empty", "incident_to_come")


@pytest.mark.parametrize("said", [{"kind": "mishap"}, {"facts": " "}, {"skin_grade": 7}], ids=str)
def test_an_odd_incident_is_refused(patient, clinician, now, said):
    with pytest.raises(ValidationError):
        make_incident(patient, clinician, now, **said)
