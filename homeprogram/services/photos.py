"""Photos of the skin: agreed to, taken in sealed, opened for the clinic, removed."""

import hashlib
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet

from homeprogram.calc.clinic_settings import ClinicSettings
from homeprogram.calc.days import ONE_DAY, is_adult, local_day, zone_or_utc
from homeprogram.calc.limits import PHOTOS_A_DAY, PHOTOS_PER_CHECK
from homeprogram.errors import PhotoRefused, PhotosOff, RuleBroken
from homeprogram.models import (
    ChangeType,
    Clinic,
    Clinician,
    Entry,
    EntryKind,
    Gone,
    Patient,
    Phone,
    PhotoAgreement,
    SkinPhoto,
)
from homeprogram.selectors.photos import photos_wanted_of
from homeprogram.services.changes import changes_announce, patient_lock
from homeprogram.services.pictures import jpeg_made_anew
from homeprogram.services.sealing import seal, unseal

SEALED = "skin photo"


@transaction.atomic
def photo_agreement_record(
    *,
    patient: Patient,
    by: Clinician,
    now: datetime,
    guardian_name: str = "",
    said_of_age: bool = False,
) -> PhotoAgreement:
    """Patient and, for a minor, guardian agree; from the next contact on the phone offers it.

    `said_of_age` counts only where no date of birth is on record.
    """
    patient = patient_lock(patient_id=patient.id)
    today = local_day(now, zone_or_utc(patient.zone))
    of_age = is_adult(patient.born_on, today) if patient.born_on else said_of_age
    if not of_age and not guardian_name.strip():
        message = "A minor needs a guardian who agrees too. Name the guardian."
        fields = {"guardian_name": message}
        raise RuleBroken(message, code="guardian_missing", fields=fields)
    if PhotoAgreement.objects.filter(patient=patient, ended_at=None).exists():
        raise RuleBroken("An agreement is in force. End it first.", code="photo_agreement_twice")
    agreement = PhotoAgreement.objects.create(
        clinic_id=patient.clinic_id,
        patient=patient,
        of_age=of_age,
        guardian_name=guardian_name.strip(),
        recorded_by=by,
        recorded_at=now,
    )
    changes_announce(patient=patient, what=[(ChangeType.TEXTS, patient.clinic_id)])
    return agreement


@transaction.atomic
def photo_agreement_end(*, agreement: PhotoAgreement, by: Clinician, now: datetime) -> int:
    """No more photos, and those that were sent are removed; how many."""
    patient = patient_lock(patient_id=agreement.patient_id)
    ended = PhotoAgreement.objects.filter(id=agreement.id, ended_at=None)
    if not ended.update(ended_at=now, ended_by=by):
        raise RuleBroken("This agreement has ended already.", code="photo_agreement_ended")
    changes_announce(patient=patient, what=[(ChangeType.TEXTS, patient.clinic_id)])
    mine = SkinPhoto.objects.filter(patient=patient)
    return _forget_and_tell(patient, mine, why=Gone.AGREEMENT, now=now)


def photo_take(
    *, phone: Phone, photo_id: UUID, entry_id: UUID, taken_ms: int, data: bytes, now: datetime
) -> SkinPhoto:
    """Safe to repeat: the same photo again is the one that is here, or was.

    Raises PhotosOff, PhotoTooLarge, RuleBroken for what is no picture, and PhotoRefused
    where its check is not in the log yet or has enough photos.
    """
    digest = hashlib.sha256(data).hexdigest()
    if known := _known(phone, photo_id, digest):
        return known
    if not photos_wanted_of(patient=phone.patient):
        raise PhotosOff
    clean = jpeg_made_anew(data)  # before the lock: it takes its time
    with transaction.atomic():
        patient = patient_lock(patient_id=phone.patient_id)
        if known := _known(phone, photo_id, digest):
            return known
        if not photos_wanted_of(patient=patient):
            raise PhotosOff
        checks = Entry.objects.filter(patient=patient, kind=EntryKind.SKIN_CHECK)
        entry = checks.filter(entry_id=entry_id).first()
        if entry is None:
            raise PhotoRefused("Its skin check is not here yet.", code="photo_entry_unknown")
        _room_check(patient, entry, now)
        return SkinPhoto.objects.create(
            clinic_id=patient.clinic_id,
            patient=patient,
            phone=phone,
            entry=entry,
            photo_id=photo_id,
            sha256=digest,
            sealed=seal(clean, about=_about(patient.id, photo_id), purpose=SEALED),
            taken_at=datetime.fromtimestamp(taken_ms / 1000, UTC),
            received_at=now,
            log_version=patient.log_version,
        )


def photo_open(*, photo: SkinPhoto) -> bytes:
    """The JPEG; raises RuleBroken for one that is gone or sealed under another secret key."""
    if photo.sealed is None:
        raise RuleBroken("This photo was removed.", code="photo_gone")
    about = _about(photo.patient_id, photo.photo_id)
    return unseal(bytes(photo.sealed), about=about, purpose=SEALED)


@transaction.atomic
def photo_remove(*, photo: SkinPhoto, by: Clinician, reason: str, now: datetime) -> None:
    if not reason.strip():
        message = "Say why it is removed."
        raise RuleBroken(message, code="reason_missing", fields={"reason": message})
    patient = patient_lock(patient_id=photo.patient_id)
    one = SkinPhoto.objects.filter(id=photo.id)
    said = {"gone_by": by, "gone_reason": reason.strip()}
    if not _forget_and_tell(patient, one, why=Gone.CLINIC, now=now, **said):
        raise RuleBroken("This photo was removed already.", code="photo_gone")


def photo_remove_by_patient(*, phone: Phone, photo_id: UUID, now: datetime) -> None:
    """From whichever of their phones; one that never came is as good as removed."""
    one = SkinPhoto.objects.filter(patient_id=phone.patient_id, photo_id=photo_id)
    _forget(one, why=Gone.PATIENT, now=now)


def photos_tick(*, now: datetime) -> int:
    """Remove what each clinic has kept as long as it keeps photos; how many."""
    removed = 0
    for clinic, kept_for in _clinics_with_photos():
        old = SkinPhoto.objects.filter(clinic=clinic, received_at__lt=now - kept_for)
        for patient_id in set(old.filter(gone_at=None).values_list("patient_id", flat=True)):
            removed += _forget_old(patient_id, old, now)
    return removed


@transaction.atomic
def _forget_old(patient_id: UUID, old: QuerySet[SkinPhoto], now: datetime) -> int:
    patient = patient_lock(patient_id=patient_id)
    return _forget_and_tell(patient, old.filter(patient=patient), why=Gone.AGE, now=now)


def _clinics_with_photos() -> Iterator[tuple[Clinic, timedelta]]:
    kept = SkinPhoto.objects.filter(gone_at=None).values("clinic")
    for clinic in Clinic.objects.filter(id__in=kept):
        yield clinic, ClinicSettings.of_clinic(clinic.settings).photo_days * ONE_DAY


def _forget_and_tell(
    patient: Patient, photos: QuerySet[SkinPhoto], *, why: Gone, now: datetime, **said: object
) -> int:
    """The phone they came from says so from then on. Needs the lock."""
    gone = list(photos.filter(gone_at=None).values_list("id", flat=True))
    changes_announce(patient=patient, what=[(ChangeType.ENTRY_STATE, one) for one in gone])
    return _forget(photos, why=why, now=now, **said)


def _forget(photos: QuerySet[SkinPhoto], *, why: Gone, now: datetime, **said: object) -> int:
    return photos.filter(gone_at=None).update(sealed=None, gone_at=now, gone_why=why, **said)


def _known(phone: Phone, photo_id: UUID, digest: str) -> SkinPhoto | None:
    mine = SkinPhoto.objects.filter(patient_id=phone.patient_id, photo_id=photo_id)
    known = mine.defer("sealed").first()
    if known and known.sha256 != digest:
        raise PhotoRefused("Another photo has this name.", code="photo_id_taken")
    return known


def _room_check(patient: Patient, entry: Entry, now: datetime) -> None:
    kept = SkinPhoto.objects.filter(entry=entry, gone_at=None).count()
    of_late = SkinPhoto.objects.filter(patient=patient, received_at__gt=now - ONE_DAY).count()
    if kept >= PHOTOS_PER_CHECK or of_late >= PHOTOS_A_DAY:
        raise PhotoRefused("There are enough photos of this.", code="photo_too_many")


def _about(patient_id: UUID, photo_id: UUID) -> str:
    """A sealed picture put in another row does not open."""
    return f"{patient_id} {photo_id}"
