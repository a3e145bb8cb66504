"""The small tables of one patient in one question, each row with the people it names."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from clinician.models import Contact, Incident, IncidentClosing, OptOut, ReminderSetting
from homeprogram.models import (
    Clinician,
    Consent,
    Decision,
    Flag,
    PhotoAgreement,
    SettingChange,
    SkinPhoto,
    StrengthTest,
    SurgeonLimit,
)
from homeprogram.selectors.at_once import Columns, Questions, rows_about
from homeprogram.selectors.photos import by_entry
from homeprogram.selectors.plans import Context

PEOPLE = {
    "changes": ("by",),
    "closings": ("by",),
    "contacts": ("by",),
    "decisions": ("by",),
    "flags": ("closed_by", "seen_by"),
    "limits": ("recorded_by",),
    "tests": ("recorded_by",),
}
OF_EPISODES = ("decisions", "flags")
PHOTO = ("received_at", "entry_id", "id")


@dataclass(frozen=True, slots=True)
class PatientRows:
    """In no order, unless said."""

    changes: list[SettingChange]  # of the patient's own thresholds
    consents: list[Consent]
    contacts: list[Contact]
    decisions: list[Decision]
    flags: list[Flag]
    incidents: list[Incident]
    limits: dict[UUID, list[SurgeonLimit]]  # by episode, newest first
    opt_outs: list[OptOut]  # in force
    photo_agreements: list[PhotoAgreement]  # the one in force
    photos: dict[int, list[UUID]]  # that are kept, by the key of their entry
    reminding: list[ReminderSetting]  # one at most
    tests: dict[UUID, list[StrengthTest]]  # by episode, oldest first


def patient_rows(*, context: Context) -> PatientRows:
    """Flags and strength tests are the context's."""
    found = rows_about(_asked, [context.patient.id, context.patient.clinic_id])
    found |= {"flags": context.flags, "tests": context.tests}
    people = {one.id: one for one in found.pop("people")}
    for name, fields in PEOPLE.items():
        for field in fields:
            _link(found[name], field, people)
    for name in OF_EPISODES:
        _link(found[name], "episode", {one.id: one for one in context.episodes})
    closing_of = {one.incident_id: one for one in found.pop("closings")}
    for incident in found["incidents"]:
        Incident.closing.related.set_cached_value(incident, closing_of.get(incident.id))
    found["limits"].sort(key=lambda one: (one.first_day, one.recorded_at), reverse=True)
    found["photos"] = by_entry((entry, photo) for _, entry, photo in sorted(found["photos"]))
    return PatientRows(**found | {name: _by_episode(found[name]) for name in ("limits", "tests")})


def _asked(who: Sequence[UUID]) -> Questions:
    patient, clinic = who
    return {
        "people": Clinician.objects.filter(clinic=clinic),
        "changes": SettingChange.objects.filter(patient=patient),
        "closings": IncidentClosing.objects.filter(incident__patient=patient),
        "consents": Consent.objects.filter(patient=patient),
        "contacts": Contact.objects.filter(patient=patient),
        "decisions": Decision.objects.filter(patient=patient),
        "incidents": Incident.objects.filter(patient=patient),
        "limits": SurgeonLimit.objects.filter(episode__patient=patient),
        "opt_outs": OptOut.objects.filter(patient=patient, ended_at=None),
        "photo_agreements": PhotoAgreement.objects.filter(patient=patient, ended_at=None),
        "photos": Columns(SkinPhoto.objects.filter(patient=patient, gone_at=None), PHOTO),
        "reminding": ReminderSetting.objects.filter(patient=patient),
    }


def _link(rows: Iterable, field: str, one_of: dict) -> None:
    """As if it had been joined; an empty column stays empty."""
    for row in rows:
        if key := getattr(row, f"{field}_id"):
            setattr(row, field, one_of[key])


def _by_episode(rows: Iterable) -> dict[UUID, list]:
    of: dict[UUID, list] = defaultdict(list)
    for row in rows:
        of[row.episode_id].append(row)
    return of
