"""What a release may add while another serves: columns, a rule, an index, a table."""

from django.db import migrations, models

from tests.support.later.migrations import NEWEST


class Migration(migrations.Migration):
    dependencies = [("homeprogram", NEWEST)]

    operations = [
        migrations.AddField("entry", "added", models.CharField(max_length=20, null=True)),
        migrations.AddField("patient", "added", models.CharField(max_length=20, null=True)),
        migrations.AddField("bout", "added", models.IntegerField(null=True)),
        migrations.AddConstraint(
            "bout",
            models.CheckConstraint(
                condition=models.Q(added=None) | models.Q(added__gte=0), name="bout_added_ge_0"
            ),
        ),
        migrations.AddIndex(
            "patientday", models.Index(fields=["patient", "-day"], name="patient_day_added")
        ),
        migrations.CreateModel(
            "Added", [("id", models.BigAutoField(primary_key=True)), ("at", models.DateTimeField())]
        ),
    ]
