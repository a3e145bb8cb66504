"""Notes that told of pads -> their rows: the life of a set is counted from them."""

from collections.abc import Sequence
from uuid import UUID

from homeprogram.calc.readings import Reading
from homeprogram.models import Entry, PadNews, Patient
from homeprogram.selectors.pads import PadRows, PadsByEpisode

BOUT, NOTE = "bout", "note_to_clinic"
FIELDS = ["episode", "for_date", "news", "received_at", "version"]


def pad_news_project(
    *, patient: Patient, facts: Sequence[Entry], standing: Sequence[Reading]
) -> None:
    """Bring the rows of these days' notes in line."""
    told = _told(facts, standing)
    PadNews.objects.bulk_create(
        (_row(patient, news, entry) for entry, news in told.values()),
        update_conflicts=True,
        unique_fields=["entry"],
        update_fields=FIELDS,
    )
    as_written = {one.original.id for one in standing if not one.corrected}
    notes = [entry for entry in facts if entry.kind == NOTE and entry.version not in told]
    if amended := [note.pk for note in notes if str(note.entry_id) not in as_written]:
        PadNews.objects.filter(entry__in=amended).delete()


def _told(facts: Sequence[Entry], standing: Sequence[Reading]) -> dict[int, tuple[Entry, str]]:
    """By version, the notes that tell of pads; one about no limb tells of no set."""
    by_id = {str(entry.entry_id): entry for entry in facts if entry.episode_id}
    notes = [r for r in standing if r.original.kind == NOTE and r.payload.get("pads")]
    found = [(by_id[r.original.id], r.payload["pads"]) for r in notes if r.original.id in by_id]
    return {entry.version: (entry, news) for entry, news in found}


def pads_brought_up(
    pads: PadsByEpisode, facts: Sequence[Entry], standing: Sequence[Reading]
) -> PadsByEpisode | None:
    """What was read, with the days that were projected since; None = it must be read again.

    A new set taken back makes the one before it the newest, whose bouts were not read.
    """
    fresh = {key: PadRows(dict(rows.news), rows.bouts.copy()) for key, rows in pads.items()}
    told = _told(facts, standing)
    for entry in facts:
        if entry.episode_id:
            rows = fresh.setdefault(entry.episode_id, PadRows())
            was = rows.news.pop(entry.version, None)
            if was and was[1] == "new" and told.get(entry.version, ("", ""))[1] != "new":
                return None
            if entry.kind == BOUT:
                rows.bouts[entry.for_date] = 0
    for one in (one.original for one in standing):
        if one.kind == BOUT:
            fresh[UUID(one.episode_id)].bouts[one.for_date] += 1
    for version, (entry, news) in told.items():
        fresh[entry.episode_id].news[version] = (entry.for_date, news, entry.received_at)
    return fresh


def _row(patient: Patient, news: str, entry: Entry) -> PadNews:
    return PadNews(
        entry=entry,
        clinic_id=patient.clinic_id,
        patient=patient,
        episode_id=entry.episode_id,
        for_date=entry.for_date,
        news=news,
        received_at=entry.received_at,
        version=entry.version,
    )
