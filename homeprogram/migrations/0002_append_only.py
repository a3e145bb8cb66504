from uuid import uuid4

from django.db import migrations
from django.utils import timezone

from homeprogram.migrations._append_only import append_only


def draw_identity(apps: object, schema_editor: object) -> None:
    identity = apps.get_model("homeprogram", "LogIdentity")
    # Kept when this migration is taken back and applied again.
    identity.objects.get_or_create(id=1, defaults={"identity": uuid4(), "drawn_at": timezone.now()})


class Migration(migrations.Migration):
    dependencies = [("homeprogram", "0001_initial")]

    operations = [
        append_only("homeprogram_entry"),
        append_only("homeprogram_revision"),
        migrations.RunPython(draw_identity, migrations.RunPython.noop),
    ]
