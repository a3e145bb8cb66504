"""What a phone has not heard yet, rendered as of now."""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from homeprogram.calc.exercises import with_origin
from homeprogram.calc.limits import PULL_CHANGES_MAX
from homeprogram.calc.texts import further_texts, pads_told, texts_of
from homeprogram.models import (
    ChangeType,
    Clinic,
    Clinician,
    Entry,
    HeldEntry,
    Hold,
    HomeProgram,
    Lift,
    NoteReading,
    Patient,
    Pause,
    Revision,
    SkinPhoto,
    StrengthTest,
)
from homeprogram.selectors import log
from homeprogram.selectors.photos import photos_wanted_of
from homeprogram.selectors.plans import planned


@dataclass(frozen=True, slots=True)
class Pulled:
    """One page of changes; `version` is the cursor's new place."""

    changes: list[dict]
    version: int
    more: bool


def changes_rendered(*, patient: Patient, after: int) -> Pulled:
    """The next changes after a version; a thing named twice is told once, as it is now."""
    page = log.changes_after(patient=patient, version=after, most=PULL_CHANGES_MAX + 1)
    more = len(page) > PULL_CHANGES_MAX
    page = page[:PULL_CHANGES_MAX]
    latest = {(change.type, change.object_id): change for change in page}
    by_type: dict[str, list[UUID]] = defaultdict(list)
    for change_type, object_id in latest:
        by_type[change_type].append(object_id)
    rendered = {kind: RENDER[kind](patient, ids) for kind, ids in by_type.items()}
    changes = [
        {"version": change.version, "type": change.type, **rendered[change.type][change.object_id]}
        for change in sorted(latest.values(), key=lambda one: one.version)
        # What has nothing to tell (a held text nobody could read) is passed over.
        if change.object_id in rendered[change.type]
    ]
    return Pulled(changes, page[-1].version if page else after, more)


def _texts(patient: Patient, ids: Iterable[UUID]) -> dict[UUID, dict]:
    clinic = patient.clinic
    texts = {
        "clinic_name": clinic.name,
        "clinic_phone": clinic.phone_number,
        "clinic_hours": clinic.hours,
        "out_of_hours": clinic.out_of_hours,
        "emergency_number": clinic.emergency_number,
        "zone": patient.zone,
        **pads_told(clinic.rules),
        **texts_of(clinic.texts),
        "in": further_texts(clinic.texts),
        **_closed(clinic),
        **({"photos": True} if photos_wanted_of(patient=patient) else {}),
    }
    return {one: {"texts": texts} for one in ids}


def _closed(clinic: Clinic) -> dict:
    """Nothing where no closure is known; the days are the clinic's own, hence its zone."""
    if not clinic.closed_days:
        return {}
    names = dict(Clinician.objects.filter(clinic=clinic, active=True).values_list("id", "name"))
    days = [
        {**closed, "answers": names.get(UUID(closed["answers"]), "")}
        for closed in clinic.closed_days
    ]
    return {"closed": {"zone": clinic.zone, "days": days}}


def _programs(patient: Patient, ids: Iterable[UUID]) -> dict[UUID, dict]:
    programs = HomeProgram.objects.filter(patient=patient, id__in=ids).select_related("episode")
    revisions = Revision.objects.filter(program__in=programs).order_by("number")
    by_program: dict[UUID, list[Revision]] = defaultdict(list)
    for revision in revisions.select_related("stimulator", "on_phone"):
        by_program[revision.program_id].append(revision)
    pauses: dict[UUID, list[Pause]] = defaultdict(list)
    for pause in Pause.objects.filter(program__in=programs).order_by("created_at"):
        pauses[pause.program_id].append(pause)
    return {
        program.id: {"program": _program(program, by_program[program.id], pauses[program.id])}
        for program in programs
    }


def _program(program: HomeProgram, revisions: list[Revision], pauses: list[Pause]) -> dict:
    episode = program.episode
    return {
        "id": str(program.id),
        "state": "ended" if program.ended_on else "active",
        "ended_on": _day(program.ended_on),
        "episode": {
            "id": str(episode.id),
            "limb": episode.limb,
            "pathway": episode.pathway,
            "procedure": episode.procedure,
            "surgery_on": _day(episode.surgery_on),
        },
        "pauses": [
            {
                "id": str(pause.id),
                "first_day": _day(pause.first_day),
                "last_day": _day(pause.last_day),
                "reason": pause.reason,
                "safety": pause.safety,
            }
            for pause in pauses
        ],
        "revisions": [_revision(revision) for revision in revisions],
    }


AS_STORED = (
    "number",
    "weekdays",
    "bouts_per_day",
    "minimum_gap_h",
    "contractions_per_bout",
    "bout_min",
    "on_s",
    "off_s",
    "ramp_up_s",
    "ramp_down_s",
    "ramps_inside_on",
    "frequency_hz",
    "phase_duration_us",
    "waveform",
    "intensity",
    "knee_angle_deg",
    "position",
    "pads",
    "electrode_cm2",
    "voluntary_in_off",
    "reason",
)


def _exercises(revision: Revision) -> list[dict]:
    tempos = (revision.details or {}).get("tempos") or {}
    return [with_origin(one, tempos.get(one["code"])) for one in revision.exercises]


def _revision(revision: Revision) -> dict:
    return {
        "id": str(revision.id),
        **{name: getattr(revision, name) for name in AS_STORED},
        "exercises": _exercises(revision),
        "first_day": _day(revision.first_day),
        "effective_from": _day(planned(revision).effective_from),
        "unit": revision.stimulator.unit,
        "stimulator_name": revision.stimulator.name,
        "knee_range": revision.knee_range or None,
        "created_on": _moment(revision.created_at),
    }


def _holds(patient: Patient, ids: Iterable[UUID]) -> dict[UUID, dict]:
    holds = Hold.objects.filter(patient=patient, id__in=ids).select_related("entry")
    return {
        hold.id: {
            "hold": {
                "id": str(hold.id),
                "entry_id": str(hold.entry.entry_id),
                "scope": hold.scope,
                "episode_id": str(hold.episode_id) if hold.episode_id else None,
                "reason": hold.reason,
                "first_day": _day(hold.first_day),
                "placed_at": _moment(hold.placed_at),
            }
        }
        for hold in holds
    }


def _lifts(patient: Patient, ids: Iterable[UUID]) -> dict[UUID, dict]:
    lifts = Lift.objects.filter(patient=patient, id__in=ids).prefetch_related("holds__entry")
    return {
        lift.id: {
            "lift": {
                "id": str(lift.id),
                "covers": [str(hold.entry.entry_id) for hold in lift.holds.all()],
                "reason": lift.reason,
                "lifted_at": _moment(lift.lifted_at),
            }
        }
        for lift in lifts
    }


def _entries(patient: Patient, ids: Iterable[UUID]) -> dict[UUID, dict]:
    entries = Entry.objects.filter(patient=patient, entry_id__in=ids)
    return {
        entry.entry_id: {
            "entry": {
                "body": entry.raw,
                "sha256": entry.sha256,
                "received_at": _moment(entry.received_at),
            }
        }
        for entry in entries
    }


def _entry_states(patient: Patient, ids: Iterable[UUID]) -> dict[UUID, dict]:
    held = list(HeldEntry.objects.filter(patient=patient, id__in=ids, entry_id__isnull=False))
    settled = [one.entry_id for one in held if one.settled_at]
    named = log.entries_named(patient=patient, ids=settled) if settled else []
    used = {(entry.entry_id, entry.sha256) for entry in named}
    states = {one.id: _entry_state(one, used=(one.entry_id, one.sha256) in used) for one in held}
    readings = NoteReading.objects.filter(patient=patient, id__in=ids).select_related("entry")
    return states | {one.id: _read(one) for one in readings} | _photos_gone(patient, ids)


def _photos_gone(patient: Patient, ids: Iterable[UUID]) -> dict[UUID, dict]:
    """As of a reading: an older phone hears that the check is stored, which it knew."""
    gone = SkinPhoto.objects.filter(patient=patient, id__in=ids, gone_at__isnull=False)
    return {
        one: {"id": str(entry), "state": "stored", "reason": None, "photo_gone": str(photo)}
        for one, entry, photo in gone.values_list("id", "entry__entry_id", "photo_id")
    }


def _read(reading: NoteReading) -> dict:
    """A phone that does not know of reading hears nothing new: the note is stored."""
    entry_id = str(reading.entry.entry_id)
    return {"id": entry_id, "state": "stored", "reason": None, "read_at": _moment(reading.read_at)}


def _entry_state(held: HeldEntry, *, used: bool) -> dict:
    """Looked at again, an entry may have gone into the log after all."""
    if used:
        return {"id": str(held.entry_id), "state": "stored", "reason": None}
    reason = {"code": held.code, "message": held.message}
    return {"id": str(held.entry_id), "state": "held", "reason": reason}


def _strength_tests(patient: Patient, ids: Iterable[UUID]) -> dict[UUID, dict]:
    """Only what the clinic shared and can be relied on, as whole numbers a patient can read."""
    tests = StrengthTest.objects.filter(
        episode__patient=patient, id__in=ids, shared_at__isnull=False
    )
    return {
        test.id: {
            "strength_test": {
                "id": str(test.id),
                "episode_id": str(test.episode_id),
                "on": _day(test.on),
                "lsi_pct": _whole(test.result.get("lsi_pct")) if _reliable(test) else None,
            }
        }
        for test in tests
    }


RENDER: dict[str, Callable[[Patient, Iterable[UUID]], dict[UUID, dict]]] = {
    ChangeType.TEXTS: _texts,
    ChangeType.PROGRAM: _programs,
    ChangeType.HOLD: _holds,
    ChangeType.LIFT: _lifts,
    ChangeType.ENTRY: _entries,
    ChangeType.ENTRY_STATE: _entry_states,
    ChangeType.STRENGTH_TEST: _strength_tests,
}


def _reliable(test: StrengthTest) -> bool:
    return test.request.get("other_limb") == "sound"


def _whole(value: float | None) -> int | None:
    """Cut, not rounded: 79.9 must not read as 80."""
    return None if value is None else int(value)


def _day(day: date | None) -> str | None:
    return day.isoformat() if day else None


def _moment(moment: datetime) -> str:
    return moment.isoformat()
