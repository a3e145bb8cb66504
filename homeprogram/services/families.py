"""A clinic's own protocol families. Ours are files and stay as they are."""

from datetime import datetime

from django.db import transaction

from homeprogram.errors import RuleBroken
from homeprogram.models import ClinicFamily, Clinician


@transaction.atomic
def family_add(
    *, by: Clinician, name: str, source: str, values: dict, now: datetime
) -> ClinicFamily:
    """Keep figures under a name. `values` are a family's figures by their names."""
    if ClinicFamily.objects.filter(clinic=by.clinic, name=name).exists():
        message = "The clinic has a family of this name."
        raise RuleBroken(message, code="name_taken", fields={"name": message})
    family = ClinicFamily(
        clinic=by.clinic, name=name, source=source, values=values, created_by=by, created_at=now
    )
    family.full_clean()
    family.save()
    return family
