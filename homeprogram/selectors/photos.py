"""Whether photos are wanted, and which there are; never what is in them."""

from collections import defaultdict
from collections.abc import Iterable
from uuid import UUID

from homeprogram.calc.clinic_settings import ClinicSettings
from homeprogram.models import Clinic, Patient, PhotoAgreement, SkinPhoto

TOLD = (
    "received_at",
    "log_version",
    "entry__version",
    "entry__for_date",
    "entry__episode_id",
)


def photos_wanted_of(*, patient: Patient) -> bool:
    """The clinic takes photos, and this patient agreed to them."""
    return clinic_takes_photos(clinic=patient.clinic) and agreement_of(patient=patient) is not None


def clinic_takes_photos(*, clinic: Clinic) -> bool:
    return ClinicSettings.of_clinic(clinic.settings).photos


def agreement_of(*, patient: Patient) -> PhotoAgreement | None:
    """The one in force."""
    return PhotoAgreement.objects.filter(patient=patient, ended_at=None).first()


def agreement_of_clinic(*, clinic: Clinic, agreement_id: UUID) -> PhotoAgreement | None:
    return (
        PhotoAgreement.objects.filter(clinic=clinic, id=agreement_id)
        .select_related("patient")
        .first()
    )


def photo_of_clinic(*, clinic: Clinic, photo_id: UUID) -> SkinPhoto | None:
    """By the record's id, sealed; with whose it is and what it was taken with."""
    return (
        SkinPhoto.objects.filter(clinic=clinic, id=photo_id)
        .select_related("patient__clinic", "entry__episode", "gone_by")
        .first()
    )


def photos_of(*, patient: Patient) -> list[SkinPhoto]:
    """Those that are kept, oldest first, each with its entry's version and not its picture."""
    kept = SkinPhoto.objects.filter(patient=patient, gone_at=None).select_related("entry")
    return list(kept.only(*TOLD).order_by("received_at", "id"))


def photos_by_entry(photos: Iterable[SkinPhoto]) -> dict[int, list[UUID]]:
    """Their ids by the key of their entry."""
    return by_entry((one.entry_id, one.id) for one in photos)


def by_entry(rows: Iterable[tuple[int, UUID]]) -> dict[int, list[UUID]]:
    of: dict[int, list[UUID]] = defaultdict(list)
    for entry, photo in rows:
        of[entry].append(photo)
    return of
