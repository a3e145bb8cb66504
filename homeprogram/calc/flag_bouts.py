"""Flags from how bouts felt and how hard they were. Common practice, no source.

Pain of 2 points more is what patients in chronic pain call a change that
matters (Farrar 2001, Pain 94:149-158); for the discomfort of the current no
such figure is known, so the same one is used. All look at the last days only,
and clear themselves once those are past.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from statistics import median

from homeprogram.calc.days import local_day
from homeprogram.calc.flag_facts import BoutFact, Card, EpisodeFacts, Facts
from homeprogram.calc.limits import RECENT_DAYS, USUAL_BOUTS, FlagRules


def knee_pain_worse(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """Pain after a bout well above the patient's own usual on several bouts running, or high.

    Two bouts anywhere in a week would do on chance alone, about once a month. What
    stays hidden: a slow rise, as the usual rises with it, and every other bout.
    """
    mine = bouts_of(episode, facts)
    above = _worse_running(mine, "pain_after", facts, rules)
    late = since_days(mine, facts, rules.worse_days)
    high = [bout for bout in late if bout.pain_after >= rules.pain_any]
    if above or high:
        yield _card(
            "knee_pain_worse",
            episode,
            {bout.entry_id: bout for bout in (*above, *high)}.values(),
            {
                "highest": max(bout.pain_after for bout in (*above, *high)),
                "what": ["above_usual"] * bool(above) + ["high"] * bool(high),
                "rule": f"after a bout {rules.worse_by} or more above the median of the "
                f"{rules.worse_days} days before, {rules.worse_bouts} bouts running, "
                f"or {rules.pain_any} or more of 10 after any",
            },
        )


def discomfort_worse(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """Discomfort well above the patient's own usual on several bouts running."""
    found = _worse_running(bouts_of(episode, facts), "discomfort", facts, rules)
    if found:
        yield _card(
            "discomfort_worse",
            episode,
            found,
            {
                "highest": max(bout.discomfort for bout in found),
                "rule": f"{rules.worse_by} or more above the median of the {rules.worse_days} "
                f"days before, {rules.worse_bouts} bouts running",
            },
        )


def over_ceiling(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """Current above the ceiling that the supervised bout set."""
    late = since_days(bouts_of(episode, facts), facts, RECENT_DAYS)
    found = [bout for bout in late if bout.over_ceiling]
    if len(found) >= rules.over_ceiling_bouts:
        yield _card(
            "over_ceiling",
            episode,
            found,
            {
                "rule": f"above the ceiling of a channel in {rules.over_ceiling_bouts} or more "
                f"bouts of the last {RECENT_DAYS} days",
            },
        )


def over_use(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """More bouts on a day than the program asks of a due day; off days count the same.

    A bout that was made up on another day than due is no over-use.
    """
    asked = {day.day: day.due.per_day for day in episode.days}
    by_day: dict[date, list[BoutFact]] = defaultdict(list)
    for bout in since_days(bouts_of(episode, facts), facts, RECENT_DAYS):
        if bout.complete and asked.get(bout.day):
            by_day[bout.day].append(bout)
    extra = {day: bouts for day, bouts in by_day.items() if len(bouts) > asked[day]}
    more = sum(len(bouts) - asked[day] for day, bouts in extra.items())
    if more >= rules.over_use_bouts:
        yield _card(
            "over_use",
            episode,
            [bout for bouts in extra.values() for bout in bouts],
            {
                "bouts_more": more,
                "days": [day.isoformat() for day in sorted(extra)],
                "rule": f"{rules.over_use_bouts} or more bouts beyond what a day asks, "
                f"in {RECENT_DAYS} days",
            },
        )


def bouts_of(episode: EpisodeFacts, facts: Facts) -> list[BoutFact]:
    """This limb's bouts as they were done, whatever order they came in."""
    mine = [bout for bout in facts.bouts if bout.episode_id == episode.episode_id]
    return sorted(mine, key=lambda bout: (bout.day, bout.started_at, bout.entry_id))


def since_days(bouts: Sequence[BoutFact], facts: Facts, days: int) -> list[BoutFact]:
    since = local_day(facts.now, facts.zone) - timedelta(days=days)
    return [bout for bout in bouts if bout.day > since]


def _worse_running(
    mine: Sequence[BoutFact], what: str, facts: Facts, rules: FlagRules
) -> list[BoutFact]:
    """Every run of worse bouts whose newest is not yet out of view."""
    size, in_view = rules.worse_bouts, len(since_days(mine, facts, rules.worse_days))
    # Bouts stand in order of days: the newest in view, and what a run may begin with before.
    first = max(0, len(mine) - in_view - size + 1)
    worse = [_above_usual(bout, mine, what, rules) for bout in mine[first:]]
    runs = [n for n in range(len(worse) - size + 1) if all(worse[n : n + size])] if in_view else []
    return [mine[first + n] for n in sorted({m for n in runs for m in range(n, n + size)})]


def _above_usual(bout: BoutFact, mine: Sequence[BoutFact], what: str, rules: FlagRules) -> bool:
    """Against the days before the bout's own; too few bouts there make no usual."""
    value = getattr(bout, what)
    if value < rules.worse_by:
        return False
    since = bout.day - timedelta(days=rules.worse_days)
    before = [getattr(one, what) for one in mine if since <= one.day < bout.day]
    return len(before) >= USUAL_BOUTS and value >= median(before) + rules.worse_by


def _card(reason: str, episode: EpisodeFacts, bouts, basis: dict) -> Card:
    bouts = list(bouts)
    newest = max(bouts, key=lambda bout: (bout.said_at, bout.entry_id))
    day = max(bout.day for bout in bouts).isoformat()
    entries = sorted({bout.entry_id for bout in bouts})
    return Card(
        reason,
        episode.episode_id,
        newest.said_at,
        {"entries": entries, "bouts": len(entries), "day": day} | basis,
    )
