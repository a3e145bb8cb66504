"""What a lead sets for the clinic, what is set for one patient, and who changed what."""

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction

from homeprogram.calc.clinic_settings import ClinicSettings
from homeprogram.calc.flag_thresholds import OF_A_PATIENT
from homeprogram.calc.limits import FlagRules
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinic, Clinician, Patient, SettingChange, SettingKind
from homeprogram.services.changes import flags_look_soon, patient_lock, texts_announce


def setting_note(
    *,
    clinic: Clinic,
    kind: SettingKind,
    before: Mapping,
    after: Mapping,
    by: Clinician,
    now: datetime,
    patient: Patient | None = None,
    person: Clinician | None = None,
    reason: str = "",
) -> None:
    """Write down what differs; nothing where nothing does. In the caller's transaction."""
    names = [n for n in {**before, **after} if before.get(n) != after.get(n)]
    if names:
        SettingChange.objects.create(
            clinic=clinic,
            kind=kind,
            patient=patient,
            person=person,
            before={name: before.get(name) for name in names},
            after={name: after.get(name) for name in names},
            reason=reason,
            by=by,
            at=now,
        )


@transaction.atomic
def clinic_settings_set(*, clinic: Clinic, settings: dict, by: Clinician, now: datetime) -> None:
    """Quiet hours, hours of duty and the like; only what differs from the defaults."""
    photos_before = ClinicSettings.of_clinic(clinic.settings).photos
    try:
        photos = ClinicSettings.of_clinic(settings).photos
    except (TypeError, ValueError) as error:
        raise RuleBroken(str(error), code="settings_invalid") from error
    setting_note(
        clinic=clinic,
        kind=SettingKind.SETTINGS,
        before=clinic.settings,
        after=settings,
        by=by,
        now=now,
    )
    clinic.settings = settings
    clinic.save(update_fields=["settings"])
    if photos != photos_before:
        texts_announce(clinic=clinic)  # phones offer them, or no longer


@transaction.atomic
def patient_rules_set(
    *, patient: Patient, rules: dict, reason: str, by: Clinician, now: datetime
) -> None:
    """One patient's own thresholds over the clinic's; only what differs, and why."""
    if not reason.strip():
        message = "Say why for this patient."
        raise RuleBroken(message, code="reason_missing", fields={"reason": message})
    if unknown := set(rules) - set(OF_A_PATIENT):
        message = f"Not a threshold of one patient: {', '.join(sorted(unknown))}."
        raise RuleBroken(message, code="rules_invalid")
    current = patient_lock(patient_id=patient.id)
    try:
        FlagRules.of_clinic(current.clinic.rules | rules)
    except (TypeError, ValueError) as error:
        raise RuleBroken(str(error), code="rules_invalid") from error
    setting_note(
        clinic=current.clinic,
        kind=SettingKind.RULES,
        patient=current,
        before=current.rules,
        after=rules,
        reason=reason.strip(),
        by=by,
        now=now,
    )
    current.rules = rules
    current.save(update_fields=["rules"])
    flags_look_soon(patients=Patient.objects.filter(id=current.id))
