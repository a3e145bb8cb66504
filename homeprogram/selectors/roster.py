"""Who is in the record at all, across clinics: for the clock and the rebuild."""

from uuid import UUID

from homeprogram.models import Patient


def current_patient_ids() -> list[UUID]:
    """Patients in care, clinic by clinic."""
    current = Patient.objects.filter(archived_at=None).order_by("clinic_id", "id")
    return list(current.values_list("id", flat=True))


def all_patient_ids() -> list[UUID]:
    """Every patient, archived ones too."""
    return [patient.id for patient in all_patients()]


def all_patients() -> list[Patient]:
    return list(Patient.objects.order_by("clinic_id", "id"))
