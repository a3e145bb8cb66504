"""What a release may add while another serves: a column, a rule, an index, a table.

On one table of those that a push writes: two in one transaction would wait for each other.
"""

from django.db import migrations, models

from tests.support.later.migrations import NEWEST


class Migration(migrations.Migration):
    dependencies = [("homeprogram", NEWEST)]

    operations = [
        migrations.AddField("bout", "added", models.IntegerField(null=True)),
        migrations.AddConstraint(
            "bout",
            models.CheckConstraint(
                condition=models.Q(added=None) | models.Q(added__gte=0), name="bout_added_ge_0"
            ),
        ),
        migrations.AddIndex("bout", models.Index(fields=["added"], name="bout_added")),
        migrations.CreateModel(
            "Added", [("id", models.BigAutoField(primary_key=True)), ("at", models.DateTimeField())]
        ),
    ]
