"""Phones that knew a revision before tempos were told hear of its program once more."""

from django.db import migrations


def tell_again(apps, schema_editor):
    Revision = apps.get_model("homeprogram", "Revision")
    Change = apps.get_model("homeprogram", "Change")
    Patient = apps.get_model("homeprogram", "Patient")
    told = Revision.objects.filter(program__ended_on=None).exclude(details=None)
    programs = {
        revision.program_id: revision.program
        for revision in told.select_related("program").only("details", "program")
        if (revision.details or {}).get("tempos")
    }
    for program in programs.values():
        patient = Patient.objects.select_for_update().get(id=program.patient_id)
        patient.log_version += 1
        Change.objects.create(
            clinic_id=patient.clinic_id,
            patient=patient,
            version=patient.log_version,
            type="program",
            object_id=program.id,
        )
        patient.save(update_fields=["log_version"])


class Migration(migrations.Migration):
    dependencies = [
        ("homeprogram", "0015_decisions"),
    ]

    operations = [
        # Back: what was told stays told.
        migrations.RunPython(tell_again, migrations.RunPython.noop),
    ]
