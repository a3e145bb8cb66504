"""The weekly run through the panel: who was reviewed since Monday, who comes next.

Where somebody stopped is found by what is not reviewed yet, so that a run can be
left at any moment and taken up by anybody. Four queries at any size of the panel,
one more for one's own patients.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from uuid import UUID

from django.db.models import Exists, Max, OuterRef

from clinician.selectors import order
from clinician.selectors.duty import covered_by
from clinician.selectors.words import listed
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.models import Clinic, Clinician, Episode, Flag, FlagState, Hold, Patient
from homeprogram.selectors.record import patients_of_clinic


@dataclass(frozen=True, slots=True)
class Stop:
    """One patient of the run, in the panel's order."""

    id: UUID
    name: str
    reviewed: bool  # since Monday
    came_since: bool  # about safety, after that review
    covering: str = ""  # for which colleague who is away
    safety_open: bool = False


@dataclass(frozen=True, slots=True)
class Queue:
    stops: list[Stop]
    mine: bool
    covering: str = ""  # for whom, in words

    @property
    def total(self) -> int:
        return len(self.stops)

    @property
    def reviewed(self) -> int:
        return sum(stop.reviewed for stop in self.stops)

    @property
    def waiting(self) -> list[Stop]:
        return [stop for stop in self.stops if not stop.reviewed]

    @property
    def came_since(self) -> list[Stop]:
        return [stop for stop in self.stops if stop.came_since]

    @property
    def still_open(self) -> list[Stop]:
        """Reviewed, with a safety flag that stood then and stands still."""
        return [
            stop
            for stop in self.stops
            if stop.reviewed and stop.safety_open and not stop.came_since
        ]

    def after(self, patient_id: UUID) -> Stop | None:
        """The next that waits behind this one, from the top again at the end; never itself."""
        place = next((n for n, stop in enumerate(self.stops) if stop.id == patient_id), -1)
        turned = self.stops[place + 1 :] + self.stops[: max(place, 0)]
        return next((stop for stop in turned if not stop.reviewed), None)


def week_start(*, clinic: Clinic, now: datetime) -> datetime:
    """Monday, midnight, on the clinic's wall."""
    zone = zone_or_utc(clinic.zone)
    today = local_day(now, zone)
    return datetime.combine(today - timedelta(days=today.weekday()), time.min, tzinfo=zone)


def review_queue(*, clinic: Clinic, now: datetime, of: Clinician | None = None) -> Queue:
    """`of` = only this clinician's patients and those they cover, where there are any."""
    everybody = _to_review(clinic)
    away = covered_by(clinician=of, at=now) if of else {}
    own = [one for one in everybody if of and one.clinician_id in {of.id, *away}]
    monday = week_start(clinic=clinic, now=now)
    flags = _open_flags(clinic)
    ordered = sorted(own or everybody, key=lambda one: order.panel_key(_standing(one, flags)))
    return Queue(
        [_stop(one, flags[one.id], monday, away.get(one.clinician_id, "")) for one in ordered],
        mine=bool(own),
        covering=listed(list(away.values())),
    )


def _to_review(clinic: Clinic) -> list[Patient]:
    """Who is in care, or still has something open."""
    here = OuterRef("pk")
    patients = patients_of_clinic(clinic=clinic).annotate(
        in_care=Exists(Episode.objects.filter(patient=here, ended_on=None)),
        flagged=Exists(Flag.objects.filter(patient=here, state=FlagState.OPEN)),
        held=Exists(Hold.objects.filter(patient=here, lift=None)),
        heard_at=Max("phones__last_contact_at"),
    )
    return [one for one in patients if one.in_care or one.flagged or one.held]


def _open_flags(clinic: Clinic) -> dict[UUID, list[Flag]]:
    flags: dict[UUID, list[Flag]] = defaultdict(list)
    for flag in Flag.objects.filter(clinic=clinic, state=FlagState.OPEN).defer("basis"):
        flags[flag.patient_id].append(flag)
    return flags


def _standing(patient: Patient, flags: dict[UUID, list[Flag]]) -> order.Standing:
    return order.Standing(
        id=patient.id,
        flags=tuple((flag.reason, flag.opened_at) for flag in flags[patient.id]),
        held=patient.held,
        reviewed_at=patient.reviewed_at,
        heard_at=patient.heard_at,
    )


def _stop(patient: Patient, flags: list[Flag], monday: datetime, covering: str) -> Stop:
    at = patient.reviewed_at
    return Stop(
        id=patient.id,
        name=patient.name,
        reviewed=at is not None and at >= monday,
        came_since=at is not None
        and at >= monday
        and any(flag.safety and flag.fact_at > at for flag in flags),
        covering=covering,
        safety_open=any(flag.safety for flag in flags),
    )
