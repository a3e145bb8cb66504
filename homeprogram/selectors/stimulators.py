"""The clinic's stimulator profiles, and which of them a program already names."""

from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet

from homeprogram.models import Clinic, Revision, StimulatorProfile


def stimulator_profiles(*, clinic: Clinic) -> QuerySet[StimulatorProfile]:
    """By name, each with `used`: a revision was written for it."""
    named = Revision.objects.filter(stimulator=OuterRef("pk"))
    return (
        StimulatorProfile.objects.filter(clinic=clinic)
        .annotate(used=Exists(named))
        .order_by("name")
    )


def stimulator_of_clinic(*, clinic: Clinic, stimulator_id: UUID) -> StimulatorProfile | None:
    return stimulator_profiles(clinic=clinic).filter(id=stimulator_id).first()
