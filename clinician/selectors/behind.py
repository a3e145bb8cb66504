"""What stands behind each home program: screening, surgeon's limits, strength."""

from dataclasses import dataclass
from uuid import UUID

from clinician.selectors.limits import LimitLine, limit_line
from clinician.selectors.screening_words import StandingCard, standing_card
from clinician.selectors.strength_page import strength_cards
from clinician.selectors.strength_words import StrengthCard, in_short
from homeprogram.models import Screening, StrengthTest, SurgeonLimit
from homeprogram.selectors.plans import Context
from homeprogram.selectors.screenings import screenings_of_patient, standing_from


@dataclass(frozen=True, slots=True)
class Behind:
    screening: StandingCard
    limits: list[LimitLine]
    over: list[LimitLine]
    holds_today: bool
    test: StrengthCard | None
    test_said: str
    tests: int
    open: bool  # the episode has not ended


def behind_episodes(
    context: Context,
    tests: dict[UUID, list[StrengthTest]],
    limits: dict[UUID, list[SurgeonLimit]],
) -> dict[UUID, Behind]:
    """For every episode of one patient, in one query; `tests` oldest first, `limits` newest."""
    screened = screenings_of_patient(patient=context.patient)
    return {
        episode.id: _behind(
            context,
            episode,
            screened.get(episode.id, []),
            limits.get(episode.id, []),
            tests.get(episode.id, []),
        )
        for episode in context.episodes
    }


def _behind(
    context: Context,
    episode: object,
    screened: list[Screening],
    limits: list[SurgeonLimit],
    tests: list[StrengthTest],
) -> Behind:
    lines = [limit_line(limit, context.today) for limit in limits]
    newest = strength_cards(tests)[-1] if tests else None
    return Behind(
        screening=_screening(context, episode, screened),
        limits=[line for line in lines if line.state != "over"],
        over=[line for line in lines if line.state == "over"],
        holds_today=any(line.state == "today" for line in lines),
        test=newest,
        test_said=in_short(newest) if newest else "",
        tests=len(tests),
        open=episode.ended_on is None,
    )


def _screening(context: Context, episode: object, screened: list[Screening]) -> StandingCard:
    latest = screened[0] if screened else None
    standing = standing_from(
        latest,
        stop_report_at=latest.stop_report_at if latest else None,
        change_told_at=latest.change_told_at if latest else None,
        pauses=context.pauses[str(episode.id)],
        today=context.today,
    )
    return standing_card(standing, screened)
