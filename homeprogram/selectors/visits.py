"""Visits as they stand, and the supervised bouts that count towards a day."""

from datetime import date
from uuid import UUID

from django.db.models import QuerySet

from homeprogram.calc.days import zone_or_utc
from homeprogram.calc.readings import at_floor, bout_complete
from homeprogram.calc.repeats import Timed
from homeprogram.calc.supervised import Supervised
from homeprogram.models import Clinic, Episode, Patient, Revision, SupervisedBout, Visit
from homeprogram.selectors.log import dose_of


def visits_of_patient(*, patient: Patient) -> QuerySet[Visit]:
    """Every version of every visit, newest first, each with its supervised bout."""
    visits = Visit.objects.filter(episode__patient=patient)
    return visits.select_related(
        "episode", "recorded_by", "bout__stimulator", "bout__revision"
    ).order_by("-on", "-recorded_at")


def visit_of_clinic(*, clinic: Clinic, visit_id: UUID) -> Visit | None:
    """One that no later version took the place of."""
    visits = Visit.objects.filter(clinic=clinic, id=visit_id, replaced_by=None)
    return visits.select_related(
        "episode__patient__clinic", "bout__stimulator", "recorded_by"
    ).first()


def revision_measured_against(*, episode: Episode, on: date) -> Revision | None:
    """The newest that had begun by that day, else the first; none before a program."""
    revisions = list(Revision.objects.filter(program__episode=episode).order_by("number"))
    begun = [one for one in revisions if one.first_day <= on]
    return next(iter([*begun[-1:], *revisions]), None)


def supervised_bout_of(*, episode: Episode, visit_id: str) -> SupervisedBout | None:
    """By an address's text, which may be anything."""
    try:
        wanted = UUID(visit_id)
    except ValueError:
        return None
    return SupervisedBout.objects.filter(episode=episode, visit_id=wanted).first()


def supervised_of(*, patient: Patient) -> list[Supervised]:
    """Those of visits as they stand, in the plain form the rules work on."""
    bouts = SupervisedBout.objects.filter(patient=patient, visit__replaced_by=None)
    return [supervised(bout, patient) for bout in bouts.select_related("revision")]


def supervised(bout: SupervisedBout, patient: Patient) -> Supervised:
    zone = zone_or_utc(patient.zone)
    wall = bout.started_at.astimezone(zone).replace(tzinfo=None)
    dose = dose_of(bout.revision) if bout.revision else None
    reached = [{"channel": one["channel"], "value": one["ceiling"]} for one in bout.intensity]
    return Supervised(
        timed=Timed(str(bout.id), str(bout.episode_id), wall, bout.minutes),
        on=bout.on,
        contractions=bout.contractions,
        complete=dose is None or bout_complete(bout.contractions, dose.contractions),
        at_floor=dose is not None and at_floor(reached, dose.floors) is True,
        on_phone=bout.on_phone,
    )
