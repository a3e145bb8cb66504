"""Incidents as the desk shows them: in short, whole, and in a few words for the panel."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from clinician.models import Incident
from clinician.selectors.words import ago, moment_long
from homeprogram.calc.days import zone_or_utc
from homeprogram.models import Clinic, Patient


def incident_of_clinic(*, clinic: Clinic, incident_id: UUID) -> Incident | None:
    incidents = Incident.objects.filter(clinic=clinic, id=incident_id)
    return incidents.select_related(
        "patient__clinic",
        "episode",
        "stimulator__profile",
        "revision",
        "recorded_by",
        "closing__by",
    ).first()


def incidents_open(*, patients: Collection[Patient | UUID]) -> QuerySet[Incident]:
    return Incident.objects.filter(patient__in=patients, closing=None)


def incident_in_short(kind: str, recorded_at: datetime, now: datetime) -> str:
    """For the panel."""
    return f"{_KINDS[kind]}, recorded {ago(recorded_at, now)}"


_KINDS = {"burn": "burn or skin injury", "fall": "fall", "fault": "fault", "other": "other"}


@dataclass(frozen=True, slots=True)
class IncidentLine:
    id: UUID
    when: str
    kind: str
    open: bool
    facts: str
    ending: str


def incident_lines(incidents: Iterable[Incident], zone: ZoneInfo) -> list[IncidentLine]:
    """Open ones first, then newest first."""
    newest = sorted(incidents, key=lambda one: one.happened_at, reverse=True)
    return sorted((_line(one, zone) for one in newest), key=lambda line: not line.open)


def _line(incident: Incident, zone: ZoneInfo) -> IncidentLine:
    closing = getattr(incident, "closing", None)
    return IncidentLine(
        id=incident.id,
        when=moment_long(incident.happened_at, zone),
        kind=incident.get_kind_display().lower(),
        open=closing is None,
        facts=incident.facts,
        ending=closing_words(incident, zone),
    )


def closing_words(incident: Incident, zone: ZoneInfo) -> str:
    closing = getattr(incident, "closing", None)
    if closing is None:
        return ""
    return f"Closed {moment_long(closing.at, zone)} by {closing.by.name}: {closing.reason}"


@dataclass(frozen=True, slots=True)
class Report:
    """An incident whole, for the screen and on paper."""

    id: UUID
    kind: str
    limb: str
    lines: list[tuple[str, str]]
    parameters: list[list[str]]
    revision: str
    supplements: list[tuple[str, str, str]]  # when and who, what, who was told
    ending: str
    recorded: str


def incident_report(*, incident: Incident) -> Report:
    zone = zone_or_utc(incident.clinic.zone)
    grade = incident.skin_grade
    lines = [
        ("Happened", moment_long(incident.happened_at, zone)),
        ("Near a bout", incident.get_near_display().lower()),
        ("Where", incident.place),
        ("What happened", incident.facts),
        ("Harm", incident.harm),
        ("Skin, home grade", "" if grade is None else f"grade {grade} of 4"),
        ("Done at once", incident.done),
        ("Told by", incident.told_by),
        ("Who was told, when", incident.who_was_told),
        ("Stimulator", _stimulator(incident)),
        ("Pads and leads", incident.pads),
    ]
    return Report(
        id=incident.id,
        kind=incident.get_kind_display().lower(),
        limb=incident.episode.limb.upper() if incident.episode else "",
        lines=[(name, value or "not recorded") for name, value in lines],
        parameters=incident.parameters,
        revision=f"revision {incident.revision.number}" if incident.revision else "",
        supplements=[
            (f"{moment_long(one.at, zone)}, {one.by.name}", one.text, one.who_was_told)
            for one in incident.supplements.select_related("by").order_by("at")
        ],
        ending=closing_words(incident, zone),
        recorded=f"{moment_long(incident.recorded_at, zone)} by {incident.recorded_by.name}",
    )


def _stimulator(incident: Incident) -> str:
    own = incident.stimulator
    if own is None:
        return incident.stimulator_told
    asset = f"asset {own.asset_number}, {own.profile.name}"
    return f"{asset}. {incident.stimulator_told}" if incident.stimulator_told else asset
