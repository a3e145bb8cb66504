"""What notes told of pads, to count the life of a set. By itself, as every new table."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("homeprogram", "0004_skin_photo"),
    ]

    operations = [
        migrations.CreateModel(
            name="PadNews",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("for_date", models.DateField()),
                ("news", models.CharField(max_length=10)),
                ("received_at", models.DateTimeField()),
                ("version", models.PositiveBigIntegerField()),
                (
                    "clinic",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                    ),
                ),
                (
                    "entry",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="pad_news",
                        to="homeprogram.entry",
                    ),
                ),
                (
                    "episode",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="pad_news",
                        to="homeprogram.episode",
                    ),
                ),
                (
                    "patient",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="pad_news",
                        to="homeprogram.patient",
                    ),
                ),
            ],
        ),
    ]
