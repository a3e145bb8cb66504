"""Entries -> what they say now: corrections and withdrawals applied, days counted.

Pure and independent of the order of arrival: the same set of entries gives the
same rows. Originals are never changed; this only decides which one is read.
"""

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from homeprogram.calc import limits, skin
from homeprogram.calc.day_status import DayCounts
from homeprogram.calc.payloads import PAYLOADS
from homeprogram.errors import InvalidEntry

AMENDS = ("correction", "withdrawal")


@dataclass(frozen=True, slots=True)
class Logged:
    """An entry as the log holds it. `of` = the entry it amends."""

    id: str
    kind: str
    number: int
    episode_id: str | None
    revision_id: str | None
    for_date: date
    of: str | None
    payload: dict
    received_at: datetime


@dataclass(frozen=True, slots=True)
class Reading:
    """A fact as it stands: the original, and the payload that counts."""

    original: Logged
    payload: dict
    corrected: bool
    said_at: datetime  # when the payload that counts was received


@dataclass(frozen=True, slots=True)
class Dose:
    """What a bout is measured against."""

    contractions: int
    floors: dict[int, float]
    ceilings: dict[int, float]


def readings(entries: Iterable[Logged]) -> list[Reading]:
    """Every entry that is not withdrawn, with the payload that counts."""
    entries = list(entries)
    amendments = _amendments_by_root(entries)
    facts = [entry for entry in entries if entry.kind not in AMENDS]
    standing = (_reading(fact, amendments[fact.id]) for fact in facts)
    return [reading for reading in standing if reading]


def _amendments_by_root(entries: Sequence[Logged]) -> dict[str, list[Logged]]:
    by_id = {entry.id: entry for entry in entries}
    grouped: dict[str, list[Logged]] = defaultdict(list)
    for entry in entries:
        if entry.kind in AMENDS:
            grouped[root(entry, by_id)].append(entry)
    return grouped


def root(entry: Logged, by_id: Mapping[str, Logged]) -> str:
    """The id at the beginning of an amendment's chain, as far as the chain is known."""
    seen = {entry.id}
    target = entry.of
    while target in by_id and by_id[target].of and target not in seen:
        seen.add(target)
        target = by_id[target].of
    return target


def _reading(fact: Logged, amendments: Sequence[Logged]) -> Reading | None:
    if any(entry.kind == "withdrawal" for entry in amendments):
        return None
    said = {entry.id: _said(fact, entry) for entry in amendments}
    fitting = [entry for entry in amendments if said[entry.id] is not None]
    if not fitting:
        return Reading(fact, fact.payload, corrected=False, said_at=fact.received_at)
    corrected = {entry.of for entry in fitting}
    heads = [entry for entry in fitting if entry.id not in corrected]
    # Later on the same phone wins. Two phones cannot be ordered; the tie is
    # broken the same way everywhere, and the clinic sees both corrections.
    head = max(heads, key=lambda entry: (entry.number, entry.id))
    return Reading(fact, said[head.id], corrected=True, said_at=head.received_at)


def _said(fact: Logged, correction: Logged) -> dict | None:
    """None when it came before its target was known, and does not fit it."""
    try:
        return PAYLOADS[fact.kind](correction.payload["payload"])
    except InvalidEntry:
        return None


def bout_complete(contractions: int, prescribed: int) -> bool:
    """At least 80 % of the prescribed contractions (common practice, no source)."""
    return contractions >= limits.BOUT_COMPLETE_SHARE * prescribed


def at_floor(intensity: Sequence[dict], floors: dict[int, float]) -> bool | None:
    """Every channel at or above its floor; None when no floor was set or nothing said."""
    said = {one["channel"]: one["value"] for one in intensity}
    known = [said[channel] >= floor for channel, floor in floors.items() if channel in said]
    return all(known) if known else None


def over_ceiling(intensity: Sequence[dict], ceilings: dict[int, float]) -> bool:
    said = {one["channel"]: one["value"] for one in intensity}
    return any(said[channel] > top for channel, top in ceilings.items() if channel in said)


def day_counts(facts: Iterable[Reading], doses: dict[str, Dose]) -> DayCounts:
    """Counts of one episode's day; `doses` by revision id."""
    done = partial = contractions = floor = refused = 0
    minutes = []
    excused = False
    for fact in facts:
        said = fact.payload
        if fact.original.kind == "bout":
            dose = doses[fact.original.revision_id]
            complete = bout_complete(said["contractions"], dose.contractions)
            done, partial = done + complete, partial + (not complete)
            contractions += said["contractions"]
            minutes.append(said["minutes"])
            floor += at_floor(said["intensity"], dose.floors) is True
        elif fact.original.kind == "not_done":
            refused += 1
        elif fact.original.kind == "skin_check":
            excused |= skin.mark_still_there(said["pads"], said["moment"])
    # fsum, because a plain sum of floats depends on the order of arrival.
    return DayCounts(done, partial, contractions, math.fsum(minutes), floor, refused, excused)
