"""A short first week: two revisions at once, the short one first."""

from dataclasses import replace
from datetime import date, timedelta

from django.db import transaction

from homeprogram.calc import dose as counting
from homeprogram.calc.first_dose import first_week
from homeprogram.models import Clinician, Episode, Revision
from homeprogram.services.programs import Dose, program_assign, revision_add

ONE_WEEK = timedelta(days=7)


@transaction.atomic
def assign_with_short_week(
    *, episode: Episode, by: Clinician, dose: Dose, first_day: date, reason: str, **more
) -> Revision:
    """The short dose from `first_day`, the full one a week later; returns the short one."""
    short = program_assign(
        episode=episode,
        by=by,
        dose=shortened(dose),
        first_day=first_day,
        reason=f"Short first week. {reason}"[:300],
        **more,
    )
    revision_add(
        program=short.program,
        by=by,
        dose=dose,
        first_day=first_day + ONE_WEEK,
        reason=f"Full dose after the short first week. {reason}"[:300],
        **more,
    )
    return short


def shortened(dose: Dose) -> Dose:
    week = first_week(
        contractions_per_bout=dose.contractions_per_bout, bouts_per_day=dose.bouts_per_day
    )
    timing = counting.timing(**{name: getattr(dose, name) for name in counting.TIMING_FIGURES})
    minutes = counting.bout_minutes(timing, contractions=week.contractions_per_bout)
    return replace(
        dose,
        contractions_per_bout=week.contractions_per_bout,
        bouts_per_day=week.bouts_per_day,
        bout_min=round(minutes, 2),
    )
