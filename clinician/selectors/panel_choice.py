"""What of the panel is asked for: filters, order, page. Nothing of it is about a person."""

import unicodedata
from collections.abc import Collection, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from uuid import UUID

from clinician.models import SavedView
from clinician.selectors import order, reasons
from clinician.selectors.order import Standing
from homeprogram.calc.flags import REASONS
from homeprogram.models import Clinician, Pathway

MINE = "mine"
SAFETY, RAISED, QUIET = "safety", "raised", "quiet"
WEEKS = {"1-2": (1, 2), "3-6": (3, 6), "7-12": (7, 12), "13": (13, 10_000)}
UNREVIEWED_DAYS = (7, 14, 28)

WHOSE = [("", "the whole clinic"), (MINE, "my patients")]
REASON = [
    ("", "any or none"),
    (RAISED, "anything raised"),
    (SAFETY, "about safety"),
    *((code, reasons.name(code)) for code in REASONS),
    (order.HOLD, "On hold"),
    (QUIET, "nothing raised"),
]
PATHWAY = [("", "all"), *Pathway.choices]
WEEK = [("", "all"), ("1-2", "1 to 2"), ("3-6", "3 to 6"), ("7-12", "7 to 12"), ("13", "13 on")]
UNREVIEWED = [
    ("", "at any time or never"),
    *((str(days), f"not for {days} days") for days in UNREVIEWED_DAYS),
]
SORT = [("", "what is gravest"), *((code, words) for code, (words, _) in order.SORTS.items())]
CHOICES = {
    "whose": WHOSE,
    "reason": REASON,
    "pathway": PATHWAY,
    "week": WEEK,
    "unreviewed": UNREVIEWED,
    "sort": SORT,
}


@dataclass(frozen=True, slots=True)
class Choice:
    """One value of each of CHOICES, and the page; empty = everybody in the usual order."""

    whose: str = ""
    reason: str = ""
    pathway: str = ""
    week: str = ""
    unreviewed: str = ""
    sort: str = ""
    page: int = 1

    @property
    def asked(self) -> dict[str, str]:
        """Only what differs from the whole panel; the page left out."""
        return {name: value for name, value in asdict(replace(self, page=0)).items() if value}

    @property
    def narrows(self) -> bool:
        return bool(self.asked.keys() - {"sort"})

    @property
    def asks_for_courses(self) -> bool:
        return bool(self.pathway or self.week or self.sort == "week")

    def fits(self, one: Standing, mine: Collection[UUID], now: datetime) -> bool:
        """`mine` = whose patients are mine: my own, and of whom I cover."""
        return (
            (self.whose != MINE or one.clinician_id in mine)
            and _has_reason(one, self.reason)
            and _has_course(one, self.pathway, self.week)
            and (not self.unreviewed or _unreviewed(one, int(self.unreviewed), now))
        )


def choice_of(asked: dict[str, str]) -> Choice:
    """What it does not know, it leaves out: an old address still shows a panel."""
    known = {
        name: asked[name]
        for name, options in CHOICES.items()
        if asked.get(name) in {value for value, _ in options}
    }
    page = str(asked.get("page", ""))
    return Choice(**known, page=max(1, int(page)) if page.isdecimal() and len(page) < 6 else 1)


def saved_choice(*, clinician: Clinician) -> Choice | None:
    saved = SavedView.objects.filter(clinician=clinician).first()
    return choice_of(saved.choice) if saved else None


def named_like(standings: Sequence[Standing], words: Sequence[str]) -> list[Standing]:
    """Whose name holds every one of these words, as plain letters."""
    return [one for one in standings if all(word in plain(one.name) for word in words)]


def plain(text: str) -> str:
    """Without accents and capitals, as the page's own search compares."""
    apart = unicodedata.normalize("NFD", text)
    return "".join(sign for sign in apart if not unicodedata.combining(sign)).lower()


def _has_reason(one: Standing, reason: str) -> bool:
    if not reason:
        return True
    if reason == SAFETY:
        return one.safety
    if reason in {RAISED, QUIET}:
        return (order.rank(one) == order.QUIET) == (reason == QUIET)
    if reason == order.HOLD:
        return one.held
    return any(code == reason for code, _ in one.flags)


def _has_course(one: Standing, pathway: str, week: str) -> bool:
    low, high = WEEKS.get(week, (0, 10_000))
    fitting = (c for c in one.courses if not pathway or c.pathway == pathway)
    return not (pathway or week) or any(low <= c.week <= high for c in fitting)


def _unreviewed(one: Standing, days: int, now: datetime) -> bool:
    return one.reviewed_at is None or now - one.reviewed_at >= timedelta(days=days)
