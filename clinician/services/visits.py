"""A visit as the desk writes it: visit, contact and counter reading in one go."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from clinician.models import Contact, CounterReading, Stimulator
from clinician.services.contacts import contact_record
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.limits import COUNTER_MAX
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Episode, StimulatorProfile, Visit
from homeprogram.services.visits import BoutSeen, visit_record


@dataclass(frozen=True, slots=True, kw_only=True)
class CounterSeen:
    """What the usage counter shows; `own` = the clinic's stimulator, where it is one."""

    profile: StimulatorProfile
    value: float
    own: Stimulator | None = None


@transaction.atomic
def visit_write(
    *,
    episode: Episode,
    by: Clinician,
    kind: str,
    at: datetime,
    note: str,
    now: datetime,
    minutes: int | None = None,
    measures: Mapping[str, object] | None = None,
    bout: BoutSeen | None = None,
    counter: CounterSeen | None = None,
    replaces: Visit | None = None,
) -> Visit:
    """It stands in the contact log too, once: its correction corrects that row as well."""
    visit = visit_record(
        episode=episode,
        by=by,
        kind=kind,
        on=local_day(at, zone_or_utc(episode.patient.zone)),
        note=note or _only_a_counter(counter),
        now=now,
        measures=measures,
        bout=bout,
        replaces=replaces,
    )
    if counter:
        _reading_keep(visit, counter, at)
    contact_record(
        patient=episode.patient,
        by=by,
        at=at,
        now=now,
        way=kind,
        direction="out",
        minutes=minutes,
        about="dose" if bout else "other",
        note="",
        visit=visit,
        corrects=Contact.objects.filter(visit=replaces).first() if replaces else None,
    )
    return visit


def _only_a_counter(counter: CounterSeen | None) -> str:
    return "Usage counter read." if counter else ""


def _reading_keep(visit: Visit, counter: CounterSeen, at: datetime) -> None:
    if not counter.profile.counter:
        message = f"{counter.profile.name}: its profile says that it has no usage counter."
        raise RuleBroken(message, code="no_counter", fields={"counter": message})
    if not 0 <= counter.value <= COUNTER_MAX:
        message = f"From 0 to {COUNTER_MAX}."
        raise RuleBroken(message, code="counter_invalid", fields={"counter": message})
    CounterReading.objects.create(
        clinic=visit.clinic,
        patient=visit.episode.patient,
        visit=visit,
        profile=counter.profile,
        stimulator=counter.own,
        at=at,
        counts=counter.profile.counter,
        value=counter.value,
    )
