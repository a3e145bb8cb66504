"""Entries of one patient as lines of a log: what was said, when, for when, by whom."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.selectors import facts
from clinician.selectors.words import day_long, day_short, moment_short
from homeprogram.calc.days import filled_in_later
from homeprogram.calc.readings import AMENDS, readings
from homeprogram.calc.repeats import Timed, possible_repeats, timed
from homeprogram.models import Entry
from homeprogram.selectors.log import logged


@dataclass(frozen=True, slots=True)
class Amendment:
    word: str  # corrected or withdrawn
    when: str
    reason: str
    says: list[str]
    made: str
    phone: str
    number: int
    counts: bool  # what it says is not amended again


@dataclass(frozen=True, slots=True)
class Line:
    """One entry and everything that amends it."""

    pk: int
    entry_id: str
    kind: str
    title: str
    limb: str
    says: list[str]
    made: str
    filled_in_later: bool
    received: str
    phone: str
    number: int
    logged_by: str
    clock: str
    withdrawn: bool
    corrected: bool
    read: str  # a note: who read it and when
    to_read: bool  # a note nobody has marked as read
    photos: list[UUID]  # of the skin, oldest first
    repeat: bool  # another bout of this limb at the same time is in the log
    amendments: list[Amendment]


@dataclass(frozen=True, slots=True)
class DayLines:
    on: date
    day: str
    lines: list[Line]


Photos = Mapping[int, list[UUID]]


def entry_days(
    entries: Sequence[Entry], zone: ZoneInfo, photos: Photos | None = None
) -> list[DayLines]:
    """Newest day first; an amendment stands under the entry it names.

    `photos` = ids of those that are kept, by the key of their entry.
    """
    by_id = {entry.entry_id: entry for entry in entries}
    amending = _by_root(entries, by_id)
    shown = [e for e in entries if e.kind not in AMENDS or _root(e, by_id) not in by_id]
    repeats = _repeats(entries)
    return [
        DayLines(
            day,
            day_long(day),
            [_line(e, amending[e.entry_id], zone, repeats, photos or {}) for e in of_day],
        )
        for day, of_day in groupby(shown, key=lambda entry: entry.for_date)
    ]


def days_filled_in_later(days: Iterable[DayLines]) -> set[tuple[str, date]]:
    """Limb and day of every standing bout that was written down once its day had closed."""
    return {
        (line.limb, day.on)
        for day in days
        for line in day.lines
        if line.kind == "bout" and line.filled_in_later and not line.withdrawn
    }


def _repeats(entries: Iterable[Entry]) -> set[str]:
    """Of each day by itself: a bout, as it stands, is compared with those of its own day."""
    bouts: dict[date, list[Timed]] = defaultdict(list)
    for said in readings(map(logged, entries)):
        if said.original.kind == "bout":
            bouts[said.original.for_date].append(timed(said))
    return set().union(*(possible_repeats(of_day) for of_day in bouts.values()))


def _by_root(entries: Iterable[Entry], by_id: dict) -> dict:
    amending: dict = defaultdict(list)
    for entry in sorted(entries, key=lambda e: e.version):
        if entry.kind in AMENDS:
            amending[_root(entry, by_id)].append(entry)
    return amending


def _root(entry: Entry, by_id: dict) -> object:
    """The entry that a chain of corrections finally names."""
    seen = {entry.entry_id}
    target = entry.of
    while target in by_id and by_id[target].of and target not in seen:
        seen.add(target)
        target = by_id[target].of
    return target


def _withdrawn(amendments: Sequence[Entry]) -> bool:
    return any(one.kind == "withdrawal" for one in amendments)


def _line(
    entry: Entry,
    amendments: Sequence[Entry],
    zone: ZoneInfo,
    repeats: Collection[str],
    photos: Photos,
) -> Line:
    made = datetime.fromisoformat(entry.local_time)
    return Line(
        pk=entry.pk,
        entry_id=str(entry.entry_id),
        kind=entry.kind,
        title=facts.title(entry),
        limb=entry.episode.limb.upper() if entry.episode else "",
        says=facts.says(entry.kind, entry.payload),
        made=_made(entry, zone),
        filled_in_later=filled_in_later(made, entry.for_date),
        received=_time(entry.received_at.astimezone(zone), entry.for_date),
        phone=entry.phone.label,
        number=entry.number,
        logged_by=_who(entry),
        clock=_clock(entry),
        withdrawn=_withdrawn(amendments),
        read=_read(entry, zone),
        to_read=_to_read(entry) and not _withdrawn(amendments),
        photos=photos.get(entry.pk, []),
        repeat=str(entry.entry_id) in repeats,
        corrected=any(one.kind == "correction" for one in amendments),
        amendments=[_amendment(one, entry.kind, zone, amendments) for one in amendments],
    )


def _to_read(entry: Entry) -> bool:
    """New pads are no question to anybody."""
    is_note = entry.kind == "note_to_clinic" and entry.payload.get("pads") != "new"
    return is_note and not hasattr(entry, "reading")


def _read(entry: Entry, zone: ZoneInfo) -> str:
    reading = getattr(entry, "reading", None)
    return f"{reading.read_by.name}, {moment_short(reading.read_at, zone)}" if reading else ""


def _time(moment: datetime, for_date: date) -> str:
    """The day too, where it is not the day the entry is for."""
    same = moment.date() == for_date
    return f"{moment:%H:%M}" if same else f"{day_short(moment.date())}, {moment:%H:%M}"


def _made(entry: Entry, zone: ZoneInfo) -> str:
    """As the wall showed it, with its zone where that is not the clinic's."""
    wall = _time(datetime.fromisoformat(entry.local_time), entry.for_date)
    return wall if entry.zone == zone.key else f"{wall} ({entry.zone})"


def _who(entry: Entry) -> str:
    said = entry.logged_by
    return f"helper {said['name']}" if said.get("who") == "helper" else "patient"


def _clock(entry: Entry) -> str:
    return "the phone's clock was changed before this entry" if entry.clock_changed else ""


def _amendment(entry: Entry, kind: str, zone: ZoneInfo, amendments: Sequence[Entry]) -> Amendment:
    withdrawn = entry.kind == "withdrawal"
    return Amendment(
        word="withdrawn" if withdrawn else "corrected",
        when=moment_short(entry.received_at, zone),
        reason=entry.payload["reason"],
        says=[] if withdrawn else facts.says(kind, entry.payload["payload"]),
        made=_made(entry, zone),
        phone=entry.phone.label,
        number=entry.number,
        counts=entry is _last_word(amendments),
    )


def _last_word(amendments: Sequence[Entry]) -> Entry | None:
    """The correction that counts, as `calc.readings` has it; none where it was withdrawn."""
    corrected = {one.of for one in amendments}
    heads = [one for one in amendments if one.entry_id not in corrected]
    if _withdrawn(amendments):
        return None
    return max(heads, key=lambda one: (one.number, str(one.entry_id)), default=None)
