"""The life of each limb's set of pads, from rows: one question for any number of patients.

The phone counts from the same facts (`padsHere`): the bouts it told of since it told
of new pads, as far back as it keeps what the clinic has. A bout under a clinician's
eyes that it did not tell of counts on neither side.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import Exists, OuterRef

from homeprogram.calc.flag_facts import PadsFact
from homeprogram.calc.limits import PHONE_KEEPS_DAYS
from homeprogram.calc.pads import uses_since
from homeprogram.models import Bout, PadNews
from homeprogram.selectors.at_once import Columns, Questions, rows_at_once

NEWS = ("episode_id", "version", "for_date", "news", "received_at")


@dataclass(slots=True)
class PadRows:
    """What was told of one limb's pads, by version, and its bouts by day."""

    news: dict[int, tuple[date, str, datetime]] = field(default_factory=dict)
    bouts: Counter[date] = field(default_factory=Counter)


PadsByEpisode = Mapping[UUID, PadRows]


def pads_since(now: datetime) -> date:
    return now.date() - timedelta(days=PHONE_KEEPS_DAYS)


def pad_questions(
    patients: Sequence[UUID], since: date, *, earlier_sets: bool = False
) -> Questions:
    """Of bouts only those of the newest set, or with `earlier_sets` all."""
    told = PadNews.objects.filter(patient__in=patients, for_date__gte=since)
    bouts = Bout.objects.filter(episode__patient__in=patients, for_date__gte=since)
    if not earlier_sets:
        new = PadNews.objects.filter(news="new", episode=OuterRef("episode"))
        newest = new.exclude(Exists(new.filter(version__gt=OuterRef("version"))))
        bouts = bouts.exclude(Exists(newest.filter(for_date__gt=OuterRef("for_date"))))
    return {
        "pad_news": Columns(told, NEWS),
        "pad_bouts": Columns(bouts, ("episode_id", "for_date")),
    }


def pad_rows(found: Mapping[str, list]) -> PadsByEpisode:
    """From the answers to these questions."""
    rows: dict[UUID, PadRows] = defaultdict(PadRows)
    for episode_id, version, *told in found["pad_news"]:
        rows[episode_id].news[version] = tuple(told)
    for episode_id, day in found["pad_bouts"]:
        rows[episode_id].bouts[day] += 1
    return rows


def pads_read(
    *, patients: Sequence[UUID], now: datetime, earlier_sets: bool = False
) -> PadsByEpisode:
    asked = pad_questions(patients, pads_since(now), earlier_sets=earlier_sets)
    return pad_rows(rows_at_once(**asked))


def pads_fact(rows: PadRows, now: datetime, today: date) -> PadsFact:
    """As it was at `now`; news that came later were not told yet."""
    new_on, wont_stick_at = None, None
    for _, (day, news, received_at) in sorted(rows.news.items()):
        if received_at > now:
            break
        new_on, wont_stick_at = (day, None) if news == "new" else (new_on, received_at)
    bouts = [(day, count) for day, count in rows.bouts.items() if day <= today]
    return PadsFact(tuple(uses_since(bouts, new_on)), new_on, wont_stick_at)
