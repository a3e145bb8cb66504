"""What the flag rules may look at, and what they answer: plain values."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from homeprogram.calc.adherence import Day
from homeprogram.calc.course import CourseRules


@dataclass(frozen=True, slots=True)
class SkinFact:
    """One skin check as first written or as corrected, in the order the clinic received them."""

    entry_id: str
    episode_id: str
    day: str
    moment: str
    grade: int
    itchy: bool
    received_at: datetime
    check_id: str = ""  # the entry that a correction corrects; empty = this one


@dataclass(frozen=True, slots=True)
class ReportFact:
    """A stop report, a note that asks or tells of a change, a `not_done`, or a held entry."""

    entry_id: str
    episode_id: str | None
    day: str
    what: str
    received_at: datetime


@dataclass(frozen=True, slots=True)
class LossFact:
    """Entries that a phone cannot send any more: so many, or its whole log."""

    count: int  # 0 = the log was cleared, and nobody can count what was in it
    since: datetime
    until: datetime
    told_at: datetime


@dataclass(frozen=True, slots=True)
class PadsFact:
    """One limb's set of pads: the day of each use, when it was new, that it does not stick."""

    uses: tuple[date, ...] = ()
    new_on: date | None = None
    wont_stick_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Setup:
    """Without all three the same, the same current does not reach the nerve the same way."""

    stimulator: str
    pads: tuple[str, ...]
    knee_angle_deg: float | None


@dataclass(frozen=True, slots=True)
class EvokedFact:
    """The newest test that says which current evoked which share of voluntary force."""

    on: date
    pct: float
    intensity: tuple[tuple[int, float], ...]
    setup: Setup


@dataclass(frozen=True, slots=True)
class BoutFact:
    """A bout as it reads now; `said_at` = when the clinic received what counts."""

    entry_id: str
    episode_id: str
    revision_id: str
    day: date
    started_at: str
    said_at: datetime
    complete: bool
    ended_early: bool
    discomfort: int
    pain_before: int
    pain_after: int
    intensity: tuple[tuple[int, float], ...]  # channel, in the unit that the stimulator shows
    over_ceiling: bool
    at_limit: bool  # a channel at the most that the stimulator gives
    setup: Setup | None = None  # None where the unit is not the stimulator's own


@dataclass(frozen=True, slots=True)
class MorningFact:
    """The knee next morning; episode None = the patient did not say which."""

    episode_id: str | None
    day: date
    swelling: str
    knee_pain: int


@dataclass(frozen=True, slots=True)
class StrengthFact:
    """The newest strength test of a limb."""

    on: date
    recorded_at: datetime
    lsi_pct: float | None = None
    lsi_reliable: bool = True


@dataclass(frozen=True, slots=True)
class ProgramFact:
    """One limb's program; `running` = followed, not ended, its first day reached."""

    running: bool = False
    start: date | None = None
    revision_id: str = ""  # the newest, whether or not the phone has it
    pathway: str = "conservative"
    surgery_on: date | None = None
    planned_weeks: float | None = None
    course: CourseRules = field(default_factory=CourseRules)
    test: StrengthFact | None = None
    evoked: EvokedFact | None = None


@dataclass(frozen=True, slots=True)
class EpisodeFacts:
    """One limb's days of the window, oldest first, up to today."""

    episode_id: str
    days: tuple[Day, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """All that the rules may look at."""

    now: datetime
    zone: ZoneInfo
    watermark: datetime | None
    last_contact_at: datetime | None
    episodes: tuple[EpisodeFacts, ...] = ()
    skin: tuple[SkinFact, ...] = ()
    stop_reports: tuple[ReportFact, ...] = ()
    wishes: tuple[ReportFact, ...] = ()
    not_done: tuple[ReportFact, ...] = ()
    held: tuple[ReportFact, ...] = ()
    losses: tuple[LossFact, ...] = ()
    changes: tuple[ReportFact, ...] = ()
    bouts: tuple[BoutFact, ...] = ()
    mornings: tuple[MorningFact, ...] = ()
    pads: Mapping[str, PadsFact] = field(default_factory=dict)  # by episode
    programs: Mapping[str, ProgramFact] = field(default_factory=dict)  # by episode


@dataclass(frozen=True, slots=True)
class Card:
    """A flag that should stand; episode None = the patient as a whole."""

    reason: str
    episode_id: str | None
    fact_at: datetime
    basis: dict = field(default_factory=dict)

    @property
    def key(self) -> tuple[str | None, str]:
        return (self.episode_id, self.reason)
