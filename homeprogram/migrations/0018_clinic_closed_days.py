from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("homeprogram", "0017_pause_return")]

    operations = [
        migrations.AddField(
            model_name="clinic",
            name="closed_days",
            field=models.JSONField(blank=True, default=list),
        ),
    ]
