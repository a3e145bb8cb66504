"""Screenings as the desk says them: outcome, what blocks, what to heed, when again."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from clinician.selectors.words import day_long
from homeprogram.calc.guidance import Condition
from homeprogram.calc.screening import Answer, Outcome
from homeprogram.models import Episode, Screening, ScreeningOccasion
from homeprogram.selectors.screenings import (
    Standing,
    answers_of,
    judged,
    standing_of_episode,
)

OCCASIONS = [(value, label.lower()) for value, label in ScreeningOccasion.choices]
WHY_AGAIN = {
    "stop_report": "a stop report came after it",
    "change_told": "the patient told of a change of health after it",
    "readmission": "the patient went back to hospital after it",
    "restart": "the home program was paused for two weeks or more since",
}
NOT_YET = {
    "screening_missing": "Screen this limb before a home program is assigned.",
    "screening_do_not_use": "No dose may be prescribed: the latest screening says do not use.",
    "screening_due": "No new dose before another screening: a stop report or a change of health "
    "came after the latest.",
}
TAGS = {"clear": "good", "with_precautions": "wait", "do_not_use": "stop"}


@dataclass(frozen=True, slots=True)
class ConditionLine:
    name: str
    action: str
    decided: str  # the clinician's reason and, where there is one, the specialist


@dataclass(frozen=True, slots=True)
class ScreeningCard:
    outcome: str
    tag: str
    made: str
    blocking: list[ConditionLine]
    heeded: list[ConditionLine]


@dataclass(frozen=True, slots=True)
class StandingCard:
    """What the patient page says about the screening of one episode."""

    latest: ScreeningCard | None
    earlier: list[ScreeningCard]
    again: list[str]  # why another one is due
    not_yet: str  # why no dose may be prescribed; empty when one may
    forbids: bool


def notices(*, episode: Episode, now: datetime) -> list[str]:
    """What whoever prescribes for this episode has to know first; empty when nothing."""
    standing = standing_of_episode(episode=episode, now=now)
    if standing.refusal:
        return [NOT_YET[standing.refusal]]
    again = [f"Screen again: {WHY_AGAIN[reason]}." for reason in standing.due]
    heeded = standing.judged.heeded if standing.judged else ()
    return [*again, f"To heed, from the screening: {_names(heeded)}."] if heeded else again


def standing_card(standing: Standing, rows: Sequence[Screening]) -> StandingCard:
    """`rows` = the episode's screenings, newest first."""
    cards = [screening_card(row) for row in rows]
    return StandingCard(
        latest=cards[0] if cards else None,
        earlier=cards[1:],
        again=[WHY_AGAIN[reason] for reason in standing.due],
        not_yet=NOT_YET.get(standing.refusal, ""),
        forbids=standing.refusal == "screening_do_not_use",
    )


def screening_card(screening: Screening) -> ScreeningCard:
    answers, found = answers_of(screening), judged(screening)
    return ScreeningCard(
        outcome=screening.get_outcome_display().lower(),
        tag=TAGS[screening.outcome],
        made=f"{day_long(screening.on)}, {screening.get_occasion_display().lower()}, "
        f"{screening.recorded_by.name}",
        blocking=_lines(found.blocking, answers),
        heeded=_lines(found.heeded, answers),
    )


def outcome_said(screening: Screening) -> str:
    """One line for the moment after it was recorded."""
    found = judged(screening)
    if found.outcome == Outcome.DO_NOT_USE:
        return f"Screening recorded: do not use. It stands in the way: {_names(found.blocking)}."
    if found.outcome == Outcome.WITH_PRECAUTIONS:
        return f"Screening recorded: with precautions. To heed: {_names(found.heeded)}."
    return "Screening recorded: clear."


def _names(conditions: Iterable[Condition]) -> str:
    return "; ".join(one.name for one in conditions)


def _lines(conditions: Iterable[Condition], answers: dict[str, Answer]) -> list[ConditionLine]:
    return [ConditionLine(one.name, one.action, _decided(answers[one.code])) for one in conditions]


def _decided(answer: Answer) -> str:
    opinion = ""
    if answer.opinion_by and answer.opinion_on:
        opinion = f" Opinion: {answer.opinion_by}, {day_long(answer.opinion_on)}."
    return f"{answer.note.strip()}{opinion}".strip()
