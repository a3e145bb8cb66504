"""Which limb the outcome of a weekly review is about."""

import django.db.models.deletion
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("clinician", "0001_tables"),
        ("homeprogram", "0004_skin_photo"),
    ]

    operations = [
        migrations.AddField(
            model_name="review",
            name="episode",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="+",
                to="homeprogram.episode",
            ),
        ),
    ]
