"""One patient as the weekly review shows them: what is new, the week, what is open."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from clinician.selectors import cards
from clinician.selectors.behind import Behind, behind_episodes
from clinician.selectors.charts import USUAL, charts, first_day
from clinician.selectors.entries import DayLines, Line, Photos, entry_days
from clinician.selectors.facts import TITLES
from clinician.selectors.flag_cards import FlagCard, flag_cards
from clinician.selectors.limb_span import SkinDay, limb_lines, skin_days
from clinician.selectors.open_matters import open_matters
from clinician.selectors.panel_row import course
from clinician.selectors.review_mark import Mark, mark_of
from clinician.selectors.strip import Cell, cells
from clinician.selectors.words import ago, day_long, day_short, listed, moment_long, plural, stale
from homeprogram.calc.days import ONE_DAY, zone_or_utc
from homeprogram.calc.readings import Reading, readings
from homeprogram.models import Entry, Episode, Patient, SkinPhoto, StrengthTest
from homeprogram.selectors.bouts import bouts_felt
from homeprogram.selectors.log import (
    arrived_count,
    entries_between,
    entries_told_of,
    logged,
)
from homeprogram.selectors.photos import photos_by_entry, photos_of
from homeprogram.selectors.plans import Context, context_of
from homeprogram.selectors.prescribing import limits_of_patient
from homeprogram.selectors.record import open_flags_of_patient
from homeprogram.selectors.strength_tests import strength_tests_of_patient

WEEK = 7
STRIP = 14
LISTED_MOST = 200  # entries on the page; the patient page has the rest
# What is said in full at once; a calm bout or a clean skin check is folded.
TELLING = {"stop_report", "note_to_clinic", "not_done", "correction", "withdrawal"}
GRADE_TOLD = 2


@dataclass(frozen=True, slots=True)
class LimbReview:
    episode_id: UUID
    program_id: UUID | None
    limb: str
    side: str
    course: str
    cells: list[Cell]
    skin: list[SkinDay]
    photos: list[tuple[UUID, str]]  # of the same days, oldest first
    lines: list[tuple[str, str, str]]  # measure, last 7 days, the 7 days before
    behind: Behind
    paused: bool


@dataclass(frozen=True, slots=True)
class Arrived:
    """What the log got since the last review, by its own count."""

    count: int
    words: str
    telling: list[DayLines]
    calm: list[DayLines]
    calm_count: int
    left_off: int


@dataclass(frozen=True, slots=True)
class ReviewPage:
    id: UUID
    name: str
    since: str
    up_to: int
    mark: Mark
    drawn_at: str
    contact: str
    contact_stale: bool
    arrived: Arrived
    limbs: list[LimbReview]
    flags: list[FlagCard]
    holds: list[cards.HoldCard]
    held: list[cards.HeldCard]
    matters: list[tuple[str, str]]  # an incident that is open, a call that is owed, a late photo
    charts: dict  # see clinician/selectors/charts.py

    @property
    def quiet(self) -> bool:
        return not (self.flags or self.holds or self.held or self.matters)

    @property
    def grave(self) -> bool:
        """Too grave to be passed by with one key."""
        return bool(self.holds) or any(flag.safety for flag in self.flags)

    @property
    def shown(self) -> dict:
        """Kept with the review: what the page said then."""
        return {
            "drawn_at": self.drawn_at,
            "since": self.since,
            "contact": self.contact,
            "arrived": self.arrived.words,
            "told": [
                f"{day.day}, {line.title}{f' {line.limb}' if line.limb else ''}: "
                f"{listed(line.says)}"
                for day in self.arrived.telling
                for line in day.lines
            ],
            "limbs": [
                {"limb": one.limb, "course": one.course, "lines": one.lines} for one in self.limbs
            ],
            "flags": [
                f"{flag.name}{f' {flag.limb}' if flag.limb else ''}: {flag.text}"
                for flag in self.flags
            ],
            "holds": [f"{hold.covers}: {hold.reason}" for hold in self.holds],
            "matters": [f"{what}: {words}" for what, words in self.matters],
        }


def review_page(*, patient: Patient, now: datetime) -> ReviewPage:
    """`patient` carries the log's count; what comes after it is left for next time."""
    zone = zone_or_utc(patient.clinic.zone)
    up_to = patient.log_version
    photos = photos_of(patient=patient)
    context = context_of(patient=patient, now=now, days_back=2 * STRIP)
    tests = strength_tests_of_patient(patient=patient)
    mark = mark_of(patient=patient)
    first = _first_of_strip(context)
    entries = entries_told_of(patient=patient, since=first)
    standing = [one for one in readings(map(logged, entries)) if one.original.for_date >= first]
    return ReviewPage(
        id=patient.id,
        name=patient.name,
        since=_since(mark, zone),
        up_to=up_to,
        mark=mark,
        drawn_at=moment_long(now, zone),
        contact=ago(context.last_contact_at, now),
        contact_stale=stale(context.last_contact_at, now),
        arrived=_arrived(patient, mark.version, up_to, zone, photos_by_entry(photos)),
        limbs=_limbs(context, standing, tests, photos),
        flags=flag_cards(context, open_flags_of_patient(patient=patient), zone, entries),
        holds=cards.hold_cards(context),
        held=cards.held_cards(context.held, zone),
        matters=[*_matters(patient, now), *_late_photos(photos, mark.version)],
        charts=_charts(context, tests),
    )


def _matters(patient: Patient, now: datetime) -> Iterator[tuple[str, str]]:
    matters = open_matters(patients=[patient], now=now)
    for words in matters.incidents[patient.id]:
        yield "incident open", words
    for words in matters.calls[patient.id]:
        yield "call back owed", f"asked {words}"


def _since(mark: Mark, zone) -> str:
    if mark.review is None:
        return "never reviewed: everything is new"
    who, at = mark.review.reviewed_by.name, moment_long(mark.review.reviewed_at, zone)
    return f"reviewed up to here by {who} on {at}"


def _late_photos(photos: Iterable[SkinPhoto], after: int) -> Iterator[tuple[str, str]]:
    """Of a skin check that was reviewed before its photo came."""
    for one in photos:
        if one.entry.version <= after <= one.log_version:
            yield "photo of the skin", f"of {day_long(one.entry.for_date)}, it came later"


def _arrived(patient: Patient, after: int, up_to: int, zone, photos: Photos) -> Arrived:
    rows = entries_between(patient=patient, after=after, up_to=up_to, most=LISTED_MOST)
    new = {row.pk for row in rows if after < row.version <= up_to}
    count = len(new)
    if count == LISTED_MOST:
        count = arrived_count(patient=patient, after=after, up_to=up_to)
    by_pk = {row.pk: row for row in rows}
    telling, calm = [], []
    for day in entry_days(rows, zone, photos):
        loud = [line for line in day.lines if tells(by_pk[line.pk], line)]
        rest = [line for line in day.lines if line not in loud]
        telling += [DayLines(day.on, day.day, loud)] if loud else []
        calm += [DayLines(day.on, day.day, rest)] if rest else []
    return Arrived(
        count=count,
        words=_arrived_words(rows, new, count),
        telling=telling,
        calm=calm,
        calm_count=sum(len(day.lines) for day in calm),
        left_off=count - len(new),
    )


def _arrived_words(rows: Iterable[Entry], new: set[int], count: int) -> str:
    if not new:
        return "nothing new has arrived"
    kinds = Counter(TITLES[row.kind].split(" of an ")[0].lower() for row in rows if row.pk in new)
    parts = [plural(n, kind, _many(kind)) for kind, n in kinds.items()]
    return f"{plural(count, 'new entry', 'new entries')}: {listed(parts)}"


def _many(kind: str) -> str:
    return {"not done": "times not done", "note to the clinic": "notes to the clinic"}.get(kind, "")


def tells(entry: Entry, line: Line) -> bool:
    """Whether a clinician wants to read it without a click."""
    if entry.kind == "note_to_clinic" and entry.payload.get("pads") == "new":
        return False
    if (
        entry.kind in TELLING
        or line.amendments
        or line.repeat
        or line.filled_in_later
        or line.photos
    ):
        return True
    if entry.kind == "bout":
        said = entry.payload
        return bool(said.get("note") or said.get("ended_early"))
    check = getattr(entry, "skin_check", None)
    return check is not None and check.grade >= GRADE_TOLD


def _charts(context: Context, tests: dict[UUID, list[StrengthTest]]) -> dict:
    """The same as on the patient page, of its usual weeks."""
    first = first_day(context=context, weeks=USUAL)
    felt = bouts_felt(episodes=[episode.id for episode in context.episodes], since=first)
    return charts(context=context, felt=felt, tests=tests, first=first)


def _first_of_strip(context: Context) -> date:
    return context.today - (STRIP - 1) * ONE_DAY


def _limbs(
    context: Context,
    standing: Sequence[Reading],
    tests: dict[UUID, list[StrengthTest]],
    photos: Sequence[SkinPhoto],
) -> list[LimbReview]:
    limits = limits_of_patient(patient=context.patient)
    behind = behind_episodes(context, tests, limits)
    return [
        _limb(
            context,
            episode,
            standing,
            behind[episode.id],
            photos,
        )
        for episode in context.episodes
        if episode.ended_on is None
    ]


def _photos_since(
    photos: Iterable[SkinPhoto], episode: Episode, first: date
) -> list[tuple[UUID, str]]:
    mine = (one for one in photos if one.entry.episode_id == episode.id)
    return [(one.id, day_short(one.entry.for_date)) for one in mine if one.entry.for_date >= first]


def _limb(
    context: Context,
    episode: Episode,
    standing: Sequence[Reading],
    behind: Behind,
    photos: Iterable[SkinPhoto],
) -> LimbReview:
    today = context.today
    first = _first_of_strip(context)
    week = limb_lines(context, episode, standing, today - (WEEK - 1) * ONE_DAY, today)
    before = limb_lines(context, episode, standing, first, today - timedelta(days=WEEK))
    program = getattr(episode, "program", None)
    return LimbReview(
        episode_id=episode.id,
        program_id=program.id if program else None,
        limb=episode.limb.upper(),
        side=episode.limb,
        course=course(context, episode),
        cells=cells(context.days(episode, first, today)),
        skin=skin_days(episode, standing, first, today),
        photos=_photos_since(photos, episode, first),
        lines=[(name, now, then) for (name, now), (_, then) in zip(week, before, strict=True)],
        behind=behind,
        paused=any(pause.covers(today) for pause in context.pauses[str(episode.id)]),
    )
