"""What a clinician has to know of a patient before anything else, in a few lines."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from clinician.selectors.calendar import WEEKS
from clinician.selectors.facts import TITLES
from clinician.selectors.program_cards import EpisodeCard
from clinician.selectors.words import ago, listed, plural, stale
from homeprogram.models import Entry
from homeprogram.selectors.plans import Context

DAYS = WEEKS * 7
MANY = {"skin_check": "skin checks", "note_to_clinic": "notes to the clinic"}


@dataclass(frozen=True, slots=True)
class LimbLine:
    """One open episode: where in its course it is, and what is prescribed."""

    id: UUID
    limb: str
    course: str
    program: str
    waits: list[str]  # what is not as it should be: not yet on the phone, paused


@dataclass(frozen=True, slots=True)
class Summary:
    limbs: list[LimbLine]
    news: str
    contact: str  # how old all of this is
    stale: bool


def summary(context: Context, episodes: Iterable[EpisodeCard], entries: Sequence[Entry]) -> Summary:
    return Summary(
        limbs=_limb_lines(episodes),
        news=_news(context, entries),
        contact=ago(context.last_contact_at, context.now) if context.phones else "no phone paired",
        stale=stale(context.last_contact_at, context.now),
    )


def _limb_lines(episodes: Iterable[EpisodeCard]) -> list[LimbLine]:
    return [
        LimbLine(one.id, one.limb, one.course, _program(one), list(_waits(one)))
        for one in episodes
        if one.open
    ]


def _program(episode: EpisodeCard) -> str:
    shown = episode.current or episode.newest
    if shown is None:
        return "No home program yet"
    return f"Revision {shown.number}: {shown.in_short}"


def _waits(episode: EpisodeCard) -> Iterable[str]:
    newest = episode.newest
    if episode.ended:
        yield "home program ended"
    elif newest:
        if not newest.on_phone:
            yield f"revision {newest.number} not yet on the phone"
        elif not newest.in_effect:
            yield f"revision {newest.number} {newest.on_phone}"
        if not newest.setting:
            yield "stimulator not yet set"
    if episode.paused:
        yield episode.paused.words


def _news(context: Context, entries: Sequence[Entry]) -> str:
    """What came since somebody reviewed, however old the day it is for.

    The entries reach back so many days, and so does what can be counted.
    """
    now, reviewed = context.now, context.patient.reviewed_at
    since = now - timedelta(days=DAYS)
    if reviewed is None:
        when = f"Not reviewed yet. In {DAYS} days"
    elif reviewed < since:
        when = f"Reviewed {ago(reviewed, now)}. In {DAYS} days"
    else:
        when, since = f"Since the review {ago(reviewed, now)}", reviewed
    kinds = Counter(entry.kind for entry in entries if _is_new(entry, since))
    came = listed(
        [_counted(kind, kinds[kind]) for kind in sorted(kinds, key=lambda k: (-kinds[k], k))]
    )
    return f"{when}: {came or 'nothing'}"


def _is_new(entry: Entry, since: datetime) -> bool:
    """By the log's own count, where a review says how far it went; else by time."""
    if entry.reviewed_to is not None:
        return entry.version > entry.reviewed_to
    return entry.received_at > since


def _counted(kind: str, count: int) -> str:
    noun = TITLES[kind].split(" of ")[0].lower()
    return plural(count, noun, MANY.get(kind, ""))
