"""Flags that say a dose may be looked at again. They never say what it should become.

Common practice, no source: discomfort that stays low at an unchanged current is
habituation, a reason to look at the dose and no alarm. After a closing a whole
new row of bouts is needed, so the fact is as old as the first of its newest row.
"""

from collections.abc import Iterator, Sequence
from itertools import takewhile

from homeprogram.calc.days import local_day
from homeprogram.calc.flag_bouts import bouts_of
from homeprogram.calc.flag_facts import (
    BoutFact,
    Card,
    EpisodeFacts,
    EvokedFact,
    Facts,
    PadsFact,
    ProgramFact,
)
from homeprogram.calc.limits import FLAT_SHARE, FlagRules

SKIN_QUIET = 1  # a slight, even change after a bout is no skin issue


def dose_review_due(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """Several whole bouts of low discomfort at a flat current, nothing hurt, swollen or marked.

    Apart from a stimulator at its limit: there is nothing more to turn up.
    """
    mine = _on_standing_dose(episode, facts)
    quiet_after = max(_troubled_days(episode, facts, rules), default="")
    calm = _flat(
        _newest_run(mine, lambda bout: bout.day.isoformat() > quiet_after and _is_calm(bout, rules))
    )
    row = _newest_row(calm, rules.review_bouts)
    if not row or _at_limit_run(mine, rules):
        return
    yield Card(
        "dose_review_due",
        episode.episode_id,
        row[0].said_at,
        {
            "bouts": len(calm),
            "day": calm[-1].day.isoformat(),
            "highest": max(bout.discomfort for bout in calm),
            "intensity": _in_words(calm[-1].intensity),
            "rule": f"{rules.review_bouts} whole bouts running with discomfort at most "
            f"{rules.review_discomfort} and knee pain at most {rules.review_pain} of 10, current "
            f"within {FLAT_SHARE:.0%}, no swelling, no skin grade above {SKIN_QUIET}",
        },
    )


def stimulator_at_limit(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """The newest bouts were done at the most that the stimulator gives."""
    run = _at_limit_run(_on_standing_dose(episode, facts), rules)
    row = _newest_row(run, rules.limit_bouts)
    if row:
        yield Card(
            "stimulator_at_limit",
            episode.episode_id,
            row[0].said_at,
            {
                "bouts": len(run),
                "day": run[-1].day.isoformat(),
                "intensity": _in_words(run[-1].intensity),
                "rule": f"a channel at the stimulator's highest intensity in "
                f"{rules.limit_bouts} bouts running",
            },
        )


def intensity_below_effective(
    episode: EpisodeFacts, facts: Facts, rules: FlagRules
) -> Iterator[Card]:
    """The newest bouts were done below the current that evoked an effective contraction.

    Void when that test is too old, or stimulator, pads or knee angle have changed.
    """
    evoked = facts.programs.get(episode.episode_id, ProgramFact()).evoked
    if evoked is None or not _still_speaks(evoked, episode, facts, rules):
        return
    since = [bout for bout in bouts_of(episode, facts) if bout.day >= evoked.on]
    run = _newest_run(since, lambda bout: _is_below(bout, evoked))
    row = _newest_row(run, rules.below_bouts)
    if row:
        yield Card(
            "intensity_below_effective",
            episode.episode_id,
            row[0].said_at,
            {
                "bouts": len(run),
                "day": run[-1].day.isoformat(),
                "intensity": _in_words(run[-1].intensity),
                "effective": _in_words(evoked.intensity),
                "evoked_pct": round(evoked.pct, 1),
                "tested_on": evoked.on.isoformat(),
                "rule": f"{rules.below_bouts} bouts running with a channel below the current that "
                f"evoked {rules.effective_pct} % or more of voluntary force, in a test of the "
                f"last {rules.effective_days} days with the same stimulator, pads and angle",
            },
        )


def _still_speaks(
    evoked: EvokedFact, episode: EpisodeFacts, facts: Facts, rules: FlagRules
) -> bool:
    age = local_day(facts.now, facts.zone) - evoked.on
    new_pads = facts.pads.get(episode.episode_id, PadsFact()).new_on
    return (
        evoked.pct >= rules.effective_pct
        and age.days <= rules.effective_days
        and (new_pads is None or new_pads <= evoked.on)
    )


def _is_below(bout: BoutFact, evoked: EvokedFact) -> bool:
    said = dict(bout.intensity)
    return bout.setup == evoked.setup and any(
        said[channel] < value for channel, value in evoked.intensity if channel in said
    )


def _on_standing_dose(episode: EpisodeFacts, facts: Facts) -> list[BoutFact]:
    """The newest bouts of the newest revision; none while a newer dose waits to be followed."""
    program = facts.programs.get(episode.episode_id, ProgramFact())
    if not program.running:
        return []
    return _newest_run(
        bouts_of(episode, facts), lambda bout: bout.revision_id == program.revision_id
    )


def _newest_run(bouts: Sequence[BoutFact], fits) -> list[BoutFact]:
    return list(takewhile(fits, reversed(bouts)))[::-1]


def _newest_row(run: Sequence[BoutFact], size: int) -> list[BoutFact]:
    """The newest full row, counted from where the run began."""
    end = len(run) // size * size
    return list(run[end - size : end]) if end else []


def _is_calm(bout: BoutFact, rules: FlagRules) -> bool:
    return (
        bout.complete
        and not bout.ended_early
        and bool(bout.intensity)
        and bout.discomfort <= rules.review_discomfort
        and max(bout.pain_before, bout.pain_after) <= rules.review_pain
    )


def _flat(run: Sequence[BoutFact]) -> list[BoutFact]:
    """The newest bouts whose every channel stays close to the newest of them."""
    if not run:
        return []
    now = dict(run[-1].intensity)

    def close(bout: BoutFact) -> bool:
        said = dict(bout.intensity)
        return said.keys() == now.keys() and all(
            abs(said[channel] - now[channel]) <= FLAT_SHARE * now[channel] for channel in now
        )

    return _newest_run(run, close)


def _troubled_days(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[str]:
    """Days with swelling, pain next morning, or a mark: bouts up to there say nothing."""
    for one in facts.mornings:
        mine = one.episode_id in {None, episode.episode_id}
        if mine and (one.swelling != "none" or one.knee_pain > rules.review_pain):
            yield one.day.isoformat()
    for check in facts.skin:
        if check.episode_id == episode.episode_id and check.grade > SKIN_QUIET:
            yield check.day


def _at_limit_run(bouts: Sequence[BoutFact], rules: FlagRules) -> list[BoutFact]:
    run = _newest_run(bouts, lambda bout: bout.at_limit)
    return run if len(run) >= rules.limit_bouts else []


def _in_words(intensity: Sequence[tuple[int, float]]) -> str:
    return ", ".join(f"channel {channel}: {value:g}" for channel, value in intensity)
