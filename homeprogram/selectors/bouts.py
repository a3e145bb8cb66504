"""Reads of bouts as they stand, corrections applied."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import date, datetime
from uuid import UUID

from homeprogram.calc.course_numbers import Felt
from homeprogram.calc.days import filled_in_later
from homeprogram.models import Bout, Entry

FELT = ("for_date", "discomfort", "knee_pain_before", "knee_pain_after", "intensity")


def bouts_felt(*, episodes: Collection[UUID], since: date) -> dict[UUID, list[Felt]]:
    """By episode."""
    felt: dict[UUID, list[Felt]] = defaultdict(list)
    rows = Bout.objects.filter(episode__in=episodes, for_date__gte=since)
    for episode_id, *said in rows.values_list("episode_id", *FELT):
        felt[episode_id].append(Felt(*said))
    return felt


def days_filled_in_later(entries: Iterable[Entry]) -> set[tuple[UUID, date]]:
    """Episode and day of every standing bout that was written down once its day had closed."""
    return {
        (entry.episode_id, entry.for_date)
        for entry in entries
        if hasattr(entry, "bout")
        and filled_in_later(datetime.fromisoformat(entry.local_time), entry.for_date)
    }
