"""The usage counter beside the log, in words that accuse nobody."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, datetime
from itertools import pairwise
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.models import CounterReading
from clinician.selectors.words import day_long, plural
from homeprogram.calc.days import ONE_DAY, local_day, zone_or_utc
from homeprogram.calc.repeats import Timed, timed
from homeprogram.calc.supervised import Supervised, untold
from homeprogram.calc.usage import Compared, Usage, compared
from homeprogram.models import Patient
from homeprogram.selectors.log import bouts_standing

BLIND = (
    "A counter cannot see who used the stimulator, on which limb, at which current, or whether "
    "the pads were on; it may count trials in the clinic. The log cannot see a bout that nobody "
    "logged."
)


def usage_words(
    *, patient: Patient, readings: Sequence[CounterReading], seen: Sequence[Supervised]
) -> dict[UUID, list[str]]:
    """By visit. The log is read only where a stimulator was read twice, from the first time on.

    `seen` = the patient's supervised bouts.
    """
    by_stimulator: dict[object, list[CounterReading]] = defaultdict(list)
    for one in sorted(readings, key=lambda one: one.at):
        by_stimulator[one.stimulator_id or one.profile_id, one.counts].append(one)
    zone = zone_or_utc(patient.zone)
    firsts = [several[0].at for several in by_stimulator.values() if len(several) > 1]
    since = local_day(min(firsts), zone) - ONE_DAY if firsts else None
    logged = bouts_in_log(patient=patient, since=since, seen=seen) if since else []
    words = {}
    for several in by_stimulator.values():
        words[several[0].visit_id] = [f"{_shown(several[0])} The first reading."]
        for before, reading in pairwise(several):
            found = compared(
                counts=reading.counts,
                before=before.value,
                reading=reading.value,
                logged=_logged(logged, before.at, reading, zone),
            )
            words[reading.visit_id] = [
                f"{_shown(reading)} {_compared_words(found, reading, before, zone)}",
                BLIND,
            ]
    return words


def bouts_in_log(*, patient: Patient, since: date, seen: Iterable[Supervised]) -> list[Timed]:
    """Every bout the record knows, once: the phone's, and supervised ones beside them.

    A bout of an earlier day is left out, unless it was supervised.
    """
    by_day: dict[date, list[Timed]] = defaultdict(list)
    for said in bouts_standing(patient=patient, since=since):
        by_day[said.original.for_date].append(timed(said))
    alone = [bout.timed for one in seen for bout in untold([one], by_day[one.on])]
    return [bout for several in by_day.values() for bout in several] + alone


def _logged(
    bouts: Iterable[Timed], since: datetime, reading: CounterReading, zone: ZoneInfo
) -> float:
    first, last = (at.astimezone(zone).replace(tzinfo=None) for at in (since, reading.at))
    between = [bout for bout in bouts if first < bout.started_at <= last]
    if reading.counts == "bouts":
        return len(between)
    return sum(bout.minutes for bout in between) / 60


def _shown(reading: CounterReading) -> str:
    name = reading.stimulator.asset_number if reading.stimulator else reading.profile.name
    return f"Usage counter of {name}: {_amount(reading.value, reading.counts)}."


def _amount(value: float, counts: str) -> str:
    return plural(round(value, 1), counts.removesuffix("s"))


def _compared_words(
    found: Compared, reading: CounterReading, before: CounterReading, zone: ZoneInfo
) -> str:
    since = day_long(before.at.astimezone(zone).date())
    if found.word == Usage.WENT_BACK:
        return (
            f"That is less than on {since}: it was set back, another one was read, or a figure "
            "was misread. Nothing can be compared."
        )
    rose, log, apart = (
        _amount(value, reading.counts) for value in (found.counter, found.log, found.apart)
    )
    both = f"Since {since} it went up by {rose}; the log holds {log}"
    if found.word == Usage.SAME:
        return f"{both}: about the same."
    more = "the counter" if found.word == Usage.COUNTER_MORE else "the log"
    return f"{both}: {apart} more in {more}. You may ask how it came about."
