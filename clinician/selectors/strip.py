"""Days as marks of a tally: each status has a form, a word and a colour of its own."""

from collections.abc import Iterable
from dataclasses import dataclass

from clinician.selectors.words import day_short, plural
from homeprogram.calc.adherence import Day
from homeprogram.calc.day_status import DayStatus

WORDS = {
    DayStatus.DONE: "done",
    DayStatus.PARTLY_DONE: "partly done",
    DayStatus.NOT_DONE: "not done, patient says",
    DayStatus.STILL_OPEN: "still open",
    DayStatus.MISSED: "missed",
    DayStatus.NOT_KNOWN_YET: "not known yet",
    DayStatus.PAUSED: "paused",
    DayStatus.NOT_DUE: "not due",
}
LEGEND = [(status.value, word) for status, word in WORDS.items()]


@dataclass(frozen=True, slots=True)
class Cell:
    """One day, ready to draw; `label` is its accessible name."""

    status: str
    label: str
    monday: bool
    today: bool


def cells(days: Iterable[Day]) -> list[Cell]:
    days = list(days)
    return [
        Cell(d.status.value, f"{day_short(d.day)}: {said(d)}", d.day.weekday() == 0, d is days[-1])
        for d in days
    ]


def bouts_said(day: Day) -> str:
    """Logged of due, or just logged where nothing was due."""
    logged = day.logged.bouts_done + day.logged.bouts_partial
    return f"{logged} of {plural(day.due.due, 'bout')}" if day.due.due else plural(logged, "bout")


def said(day: Day) -> str:
    """The status, and what was logged where something was."""
    word = WORDS[day.status]
    logged = day.logged
    if logged.bouts_done or logged.bouts_partial:
        return f"{word}, {bouts_said(day)}, {plural(logged.contractions, 'contraction')}"
    if logged.excused:
        return f"{word}, a mark was still there"
    return word
