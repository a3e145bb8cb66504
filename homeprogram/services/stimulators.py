"""Profiles of the stimulators a clinic works with, and what one was set to."""

from datetime import datetime

from django.db import transaction

from homeprogram.errors import RuleBroken
from homeprogram.models import (
    Clinic,
    Clinician,
    Revision,
    StimulatorProfile,
    StimulatorSetting,
)

# Every mA or level in an old revision is meant in the profile's unit, on its channels.
FIXED_ONCE_USED = ("unit", "waveform")


@transaction.atomic
def stimulator_add(*, clinic: Clinic, **figures) -> StimulatorProfile:
    profile = StimulatorProfile(clinic=clinic, **figures)
    return _kept(profile)


@transaction.atomic
def stimulator_edit(*, profile: StimulatorProfile, **figures) -> StimulatorProfile:
    """Correct a profile. What old revisions were written in stays as it was."""
    row = StimulatorProfile.objects.select_for_update().get(id=profile.id)
    if Revision.objects.filter(stimulator=row).exists():
        _refuse_new_meaning(row, figures)
    for name, value in figures.items():
        setattr(row, name, value)
    return _kept(row)


def _refuse_new_meaning(row: StimulatorProfile, figures: dict) -> None:
    changed = [
        name for name in FIXED_ONCE_USED if name in figures and figures[name] != getattr(row, name)
    ]
    if changed:
        message = "A home program already uses this profile. Add a new profile instead."
        raise RuleBroken(message, code="stimulator_used", fields=dict.fromkeys(changed, message))


def _kept(profile: StimulatorProfile) -> StimulatorProfile:
    if profile.min_frequency_hz > profile.max_frequency_hz:
        message = "The highest frequency is below the lowest."
        raise RuleBroken(message, code="frequency_order", fields={"max_frequency_hz": message})
    same_name = StimulatorProfile.objects.filter(clinic=profile.clinic, name=profile.name)
    if same_name.exclude(id=profile.id).exists():
        message = "The clinic has a stimulator of this name."
        raise RuleBroken(message, code="name_taken", fields={"name": message})
    profile.full_clean()
    profile.save()
    return profile


def stimulator_set(
    *, revision: Revision, by: Clinician, now: datetime, note: str = ""
) -> StimulatorSetting:
    """Somebody set the stimulator to this revision and read it back."""
    return StimulatorSetting.objects.create(
        clinic=revision.clinic, revision=revision, set_by=by, set_at=now, note=note
    )
