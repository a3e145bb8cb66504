"""The rows of notes from before. No table is closed while they are read; again is safe."""

from django.db import migrations

CHUNK = 500
FIELDS = (
    "pk", "clinic_id", "patient_id", "episode_id", "entry_id", "for_date", "received_at",
    "version", "payload",
)  # fmt: skip


def told_before(apps, schema_editor) -> None:
    Entry = apps.get_model("homeprogram", "Entry")
    PadNews = apps.get_model("homeprogram", "PadNews")
    notes = Entry.objects.filter(kind="note_to_clinic", episode__isnull=False)
    withdrawn = set(
        Entry.objects.filter(kind="withdrawal").values_list("patient_id", "of").iterator()
    )
    rows = []
    for note in notes.values(*FIELDS).iterator(chunk_size=CHUNK):
        news = note.pop("payload").get("pads")
        gone = (note["patient_id"], note.pop("entry_id")) in withdrawn
        if news and not gone:
            rows.append(PadNews(entry_id=note.pop("pk"), news=news, **note))
    PadNews.objects.bulk_create(rows, batch_size=CHUNK, ignore_conflicts=True)


class Migration(migrations.Migration):
    atomic = False

    dependencies = [
        ("homeprogram", "0005_pad_news"),
    ]

    operations = [
        migrations.RunPython(told_before, migrations.RunPython.noop),
    ]
