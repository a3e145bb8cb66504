"""What the answers of a screening allow. It supports a decision and takes none.

A contraindication means "do not use" unless the evidence lets a named clinician
go on with a reason, or with a specialist's written opinion on file. A precaution
needs the clinician's own note of what was decided. Grades and sources:
fixtures/guidance/screening.json.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from homeprogram.calc.days import ONE_DAY
from homeprogram.calc.guidance import Condition
from homeprogram.calc.limits import RESCREEN_PAUSE_DAYS

BARS_A_DOSE = frozenset({"stop_report", "change_told"})


class Outcome(StrEnum):
    CLEAR = "clear"
    WITH_PRECAUTIONS = "with_precautions"
    DO_NOT_USE = "do_not_use"


@dataclass(frozen=True, slots=True)
class Answer:
    """What was found for one condition and, if present, what was decided.

    `note` is the clinician's reason; the opinion is a specialist's, in writing.
    """

    present: bool
    note: str = ""
    opinion_by: str = ""
    opinion_on: date | None = None


@dataclass(frozen=True, slots=True)
class Judged:
    """The outcome, and by condition what stands in the way or has to be heeded."""

    outcome: Outcome
    blocking: tuple[Condition, ...]
    heeded: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Paused:
    """A pause of the home program: why, when it was told, and its days."""

    reason: str
    told_at: datetime
    first_day: date
    last_day: date | None


def missing_answers(
    answers: Mapping[str, Answer], conditions: Iterable[Condition]
) -> dict[str, str]:
    """{code: sentence} for what has to be answered or explained first."""
    missing = {}
    for condition in conditions:
        answer = answers.get(condition.code)
        if answer is None:
            missing[condition.code] = f"{condition.name}: answer yes or no."
        elif answer.present and condition.grade == "precaution" and not answer.note.strip():
            missing[condition.code] = f"{condition.name}: write what you decided and why."
        elif answer.present and bool(answer.opinion_by.strip()) != (answer.opinion_on is not None):
            missing[condition.code] = f"{condition.name}: name the specialist and the date."
    return missing


def judge(answers: Mapping[str, Answer], conditions: Iterable[Condition]) -> Judged:
    """The outcome of a complete screening; call `missing_answers` first."""
    found = [c for c in conditions if answers[c.code].present and c.grade != "may_proceed"]
    blocking = tuple(c for c in found if not may_go_on(c, answers[c.code]))
    if blocking:
        return Judged(Outcome.DO_NOT_USE, blocking, ())
    outcome = Outcome.WITH_PRECAUTIONS if found else Outcome.CLEAR
    return Judged(outcome, (), tuple(found))


def may_go_on(condition: Condition, answer: Answer) -> bool:
    """Whether this finding, as decided, still allows stimulation at the thigh."""
    if condition.grade != "contraindication":
        return True
    if condition.override == "specialist_opinion":
        return bool(answer.note.strip() and answer.opinion_by.strip() and answer.opinion_on)
    return condition.override == "named_reason" and bool(answer.note.strip())


def rescreen_reasons(
    *,
    screened_at: datetime,
    screened_on: date,
    stop_report_at: datetime | None,
    change_told_at: datetime | None = None,
    pauses: Iterable[Paused],
    today: date,
) -> tuple[str, ...]:
    """What happened since a screening that asks for another: occasions of a screening."""
    pauses = list(pauses)
    reasons = {
        "stop_report": stop_report_at is not None and stop_report_at > screened_at,
        "change_told": change_told_at is not None and change_told_at > screened_at,
        "readmission": any(p.reason == "readmission" and p.told_at > screened_at for p in pauses),
        "restart": any(_long_since(pause, screened_on, today) for pause in pauses),
    }
    return tuple(reason for reason, holds in reasons.items() if holds)


def _long_since(pause: Paused, screened_on: date, today: date) -> bool:
    """Long enough that what was answered before it may no longer be so."""
    long_from = pause.first_day + RESCREEN_PAUSE_DAYS * ONE_DAY
    over_on = min(pause.last_day or today, today) + ONE_DAY
    return screened_on < long_from <= over_on


def gate(outcome: Outcome | None, due: Iterable[str]) -> str:
    """Why no dose may be prescribed now, as a code; empty when one may.

    The one place of this rule. Other reasons for another screening are a notice;
    a stop report, or a change of health the patient tells of, bars a new dose until
    somebody asked again.
    """
    if outcome is None:
        return "screening_missing"
    if outcome == Outcome.DO_NOT_USE:
        return "screening_do_not_use"
    return "screening_due" if BARS_A_DOSE.intersection(due) else ""
