from django.db import migrations, models


class Migration(migrations.Migration):
    # Nullable: SQLite then adds the column in place and the table keeps its triggers.
    dependencies = [("homeprogram", "0005_throttle_table")]

    operations = [
        migrations.AddField(
            model_name="revision",
            name="details",
            field=models.JSONField(blank=True, null=True),
        ),
    ]
