"""The photos, sealed. By itself: one table is closed for an instant at a time."""

import uuid

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("homeprogram", "0003_photo_agreement"),
    ]

    operations = [
        migrations.CreateModel(
            name="SkinPhoto",
            fields=[
                (
                    "id",
                    models.UUIDField(
                        default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                    ),
                ),
                ("photo_id", models.UUIDField()),
                ("sha256", models.CharField(max_length=64)),
                ("sealed", models.BinaryField(null=True)),
                ("taken_at", models.DateTimeField()),
                ("received_at", models.DateTimeField()),
                ("log_version", models.PositiveBigIntegerField()),
                ("gone_at", models.DateTimeField(null=True)),
                (
                    "gone_why",
                    models.CharField(
                        blank=True,
                        choices=[
                            ("", "it is kept"),
                            ("clinic", "removed by the clinic"),
                            ("patient", "removed by the patient"),
                            ("agreement", "the agreement ended"),
                            ("age", "kept as long as the clinic keeps photos"),
                        ],
                        default="",
                        max_length=9,
                    ),
                ),
                ("gone_reason", models.CharField(blank=True, max_length=300)),
                (
                    "clinic",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                    ),
                ),
                (
                    "entry",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photos",
                        to="homeprogram.entry",
                    ),
                ),
                (
                    "gone_by",
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
                        related_name="photos",
                        to="homeprogram.patient",
                    ),
                ),
                (
                    "phone",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="homeprogram.phone",
                    ),
                ),
            ],
            options={
                "indexes": [
                    models.Index(
                        condition=models.Q(("gone_at", None)),
                        fields=["clinic", "received_at"],
                        name="photo_kept",
                    )
                ],
                "constraints": [
                    models.UniqueConstraint(
                        fields=("patient", "photo_id"), name="photo_once_per_patient"
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("gone_why__in", ["", "clinic", "patient", "agreement", "age"])
                        ),
                        name="photo_gone_why_is_known",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("gone_at", None), ("gone_why", ""), ("sealed__isnull", False)
                            ),
                            models.Q(
                                ("gone_at__isnull", False),
                                ("sealed", None),
                                models.Q(("gone_why", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="photo_gone_keeps_nothing",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("gone_why", "clinic"), _negated=True),
                            models.Q(
                                ("gone_by__isnull", False),
                                models.Q(("gone_reason", ""), _negated=True),
                            ),
                            _connector="OR",
                        ),
                        name="photo_removed_by_the_clinic_says_who_and_why",
                    ),
                ],
            },
        ),
    ]
