"""What the panel's page says of the last fortnight besides the days: felt, current, skin."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from uuid import UUID

from clinician.selectors.spark import DISCOMFORT_TOP, Scale, scale_for
from homeprogram.models import Bout, SkinCheck
from homeprogram.selectors.at_once import Columns, Questions, rows_about
from homeprogram.selectors.plans import Context

DISCOMFORT = Scale("discomfort", "Discomfort", DISCOMFORT_TOP, "of 10")
CURRENT = "Current"


@dataclass(slots=True)
class Fortnight:
    """One episode: the worst of each day."""

    discomfort: dict[date, float] = field(default_factory=dict)
    current: dict[date, float] = field(default_factory=dict)
    unit: str = "mA"
    grade: int | None = None


@dataclass(frozen=True, slots=True)
class Lately:
    episodes: dict[UUID, Fortnight]
    currents: dict[str, Scale]  # by unit

    @property
    def scales(self) -> list[Scale]:
        drawn = any(one.discomfort for one in self.episodes.values())
        return [*self.currents.values(), DISCOMFORT] if drawn else []


def lately_of(*, contexts: Sequence[Context], since: date) -> Lately:
    """One question for all of them."""
    open_ = [e.id for one in contexts for e in one.episodes if e.ended_on is None]
    found = rows_about(_asked, open_, since=[since])
    episodes = _fortnights(open_, found["bouts"], found["checks"])
    return Lately(episodes, _currents(episodes))


def _asked(episodes: Sequence[UUID], since: date) -> Questions:
    bouts = Bout.objects.filter(episode__in=episodes, for_date__gte=since)
    checks = SkinCheck.objects.filter(episode__in=episodes, for_date__gte=since)
    return {
        "bouts": Columns(bouts, ("episode_id", "for_date", "discomfort", "intensity")),
        "checks": Columns(checks, ("episode_id", "grade")),
    }


def _fortnights(
    open_: Sequence[UUID], bouts: Sequence[list], checks: Sequence[list]
) -> dict[UUID, Fortnight]:
    episodes = {one: Fortnight() for one in open_}
    for episode_id, day, discomfort, intensity in bouts:
        mine = episodes[episode_id]
        mine.discomfort[day] = max(discomfort, mine.discomfort.get(day, 0))
        for channel in intensity:
            mine.unit = channel["unit"]
            mine.current[day] = max(channel["value"], mine.current.get(day, 0))
    for episode_id, grade in checks:
        mine = episodes[episode_id]
        mine.grade = max(grade, mine.grade or 0)
    return episodes


def _currents(episodes: dict[UUID, Fortnight]) -> dict[str, Scale]:
    """Units cannot be compared, so each has a scale of its own."""
    by_unit: dict[str, list[float]] = defaultdict(list)
    for one in episodes.values():
        if one.current:
            by_unit[one.unit] += one.current.values()
    return {unit: scale_for("current", CURRENT, by_unit[unit], unit) for unit in sorted(by_unit)}
