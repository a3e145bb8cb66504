"""What the answers of a screening allow. It supports a decision and takes none.

A contraindication means "do not use" unless the evidence lets a named clinician
go on with a reason, or with a specialist's written opinion on file. A precaution
needs the clinician's own note of what was decided. Grades and sources:
fixtures/guidance/screening.json.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from homeprogram.calc.guidance import Condition


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
