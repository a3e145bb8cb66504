"""Bouts that a person may have logged twice. Marked, never dropped; the clinic asks.

Nobody trains one limb twice at once: two bouts of one limb whose times overlap, or
that begin within ten minutes of each other, may be one (common practice, no source).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import combinations

from homeprogram.calc.readings import Reading

BEGINS_WITHIN = timedelta(minutes=10)


@dataclass(frozen=True, slots=True)
class Timed:
    """One bout as logged: which limb, when by the wall clock it began, how long it was."""

    id: str
    episode_id: str
    started_at: datetime
    minutes: float


def timed(bout: Reading) -> Timed:
    """As it stands: a corrected start counts."""
    started = datetime.fromisoformat(bout.payload["started_at"])
    return Timed(bout.original.id, bout.original.episode_id, started, bout.payload["minutes"])


def possible_repeats(bouts: Iterable[Timed]) -> set[str]:
    """Ids of all bouts that may be another one told again, both of each pair."""
    return {
        bout.id
        for one, other in combinations(bouts, 2)
        if one.episode_id == other.episode_id and meet(one, other)
        for bout in (one, other)
    }


def meet(one: Timed, other: Timed) -> bool:
    """Whether they overlap or begin within ten minutes of each other."""
    first, second = sorted((one, other), key=lambda bout: bout.started_at)
    apart = second.started_at - first.started_at
    return apart < max(BEGINS_WITHIN, timedelta(minutes=first.minutes))
