"""Whom one may hand over, and to whom."""

from collections.abc import Iterable
from uuid import UUID

from clinician.models import Handover
from homeprogram.models import Clinic, Clinician, Patient
from homeprogram.selectors.record import clinicians_who_sign_in, patients_of_clinic


def patients_named(*, clinic: Clinic, ids: Iterable[str]) -> list[Patient]:
    """Current patients of this clinic by id, by name; what is none or foreign is left out."""
    wanted = {id_ for one in ids if (id_ := _uuid(one))}
    return list(patients_of_clinic(clinic=clinic).filter(id__in=wanted).order_by("name", "id"))


def colleagues(*, clinic: Clinic) -> list[Clinician]:
    """Nobody who is invited but cannot sign in yet: those patients would have no one."""
    return list(clinicians_who_sign_in(clinic=clinic).order_by("name", "id"))


def handover_of_clinic(*, clinic: Clinic, batch: UUID) -> Handover | None:
    """Any row of that batch."""
    return Handover.objects.filter(clinic=clinic, batch=batch).first()


def _uuid(text: str) -> UUID | None:
    try:
        return UUID(text)
    except ValueError:
        return None
