"""Who agreed to photos of the skin."""

import uuid

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("homeprogram", "0002_record"),
    ]

    operations = [
        migrations.CreateModel(
            name="PhotoAgreement",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("of_age", models.BooleanField()),
                ("guardian_name", models.CharField(blank=True, max_length=120)),
                ("recorded_at", models.DateTimeField()),
                ("ended_at", models.DateTimeField(null=True)),
                (
                    "clinic",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                    ),
                ),
                (
                    "ended_by",
                    models.ForeignKey(
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="homeprogram.clinician",
                    ),
                ),
                (
                    "patient",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photo_agreements",
                        to="homeprogram.patient",
                    ),
                ),
                (
                    "recorded_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="homeprogram.clinician",
                    ),
                ),
            ],
            options={
                "constraints": [
                    models.UniqueConstraint(
                        condition=models.Q(("ended_at", None)),
                        fields=("patient",),
                        name="photo_agreement_one_in_force",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("of_age", True),
                            models.Q(("guardian_name", ""), _negated=True),
                            _connector="OR",
                        ),
                        name="photo_agreement_of_a_minor_has_a_guardian",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("ended_at", None), ("ended_by", None)),
                            models.Q(("ended_at__isnull", False), ("ended_by__isnull", False)),
                            _connector="OR",
                        ),
                        name="photo_agreement_end_names_who",
                    ),
                ],
            },
        ),
    ]
