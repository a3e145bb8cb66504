"""Closures on record from before are told to the phones too."""

from django.db import migrations


def tell(apps, schema_editor):
    clinics = apps.get_model("homeprogram", "Clinic")
    absences = apps.get_model("clinician", "Absence")
    for clinic in clinics.objects.filter(id__in=absences.objects.values("clinic_id")):
        closures = absences.objects.filter(clinic=clinic, clinician=None, taken_back_at=None)
        clinic.closed_days = [
            {
                "first_day": one.first_day.isoformat(),
                "last_day": one.last_day.isoformat(),
                "answers": str(one.cover_id),
            }
            for one in closures.order_by("first_day")
        ]
        clinic.save(update_fields=["closed_days"])
        if clinic.closed_days:
            announce(apps, clinic)


def announce(apps, clinic):
    patients, changes = (apps.get_model("homeprogram", name) for name in ("Patient", "Change"))
    for patient in patients.objects.select_for_update().filter(clinic=clinic).order_by("id"):
        patient.log_version += 1
        patient.save(update_fields=["log_version"])
        changes.objects.create(
            clinic=clinic,
            patient=patient,
            version=patient.log_version,
            type="texts",
            object_id=clinic.id,
        )


class Migration(migrations.Migration):
    dependencies = [
        ("clinician", "0011_incidents"),
        ("homeprogram", "0018_clinic_closed_days"),
    ]

    operations = [migrations.RunPython(tell, migrations.RunPython.noop)]
