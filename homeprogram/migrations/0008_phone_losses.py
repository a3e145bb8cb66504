from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("homeprogram", "0007_clinic_course"),
    ]

    operations = [
        migrations.AddField(
            model_name="phone",
            name="losses",
            field=models.JSONField(blank=True, default=list),
        ),
    ]
