"""Reads of bouts as they stand, corrections applied."""

from collections import defaultdict
from collections.abc import Collection
from datetime import date
from uuid import UUID

from homeprogram.calc.course_numbers import Felt
from homeprogram.models import Bout

FELT = ("for_date", "discomfort", "knee_pain_before", "knee_pain_after", "intensity")


def bouts_felt(*, episodes: Collection[UUID], since: date) -> dict[UUID, list[Felt]]:
    """By episode."""
    felt: dict[UUID, list[Felt]] = defaultdict(list)
    rows = Bout.objects.filter(episode__in=episodes, for_date__gte=since)
    for episode_id, *said in rows.values_list("episode_id", *FELT):
        felt[episode_id].append(Felt(*said))
    return felt
