"""Flags from the course: a strength test is due, the course may be reviewed.

Common practice, no source. No rule says that a course is done.
"""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from homeprogram.calc.course import course_review
from homeprogram.calc.days import local_day
from homeprogram.calc.flag_facts import Card, EpisodeFacts, Facts, ProgramFact
from homeprogram.calc.limits import FlagRules


def strength_test_due(episode: EpisodeFacts, facts: Facts, rules: FlagRules) -> Iterator[Card]:
    """So many days of the program without a test; each further such span is news.

    An observed contraction counts as a test: a maximal effort may not be cleared.
    """
    program = facts.programs.get(episode.episode_id, ProgramFact())
    if not program.running or program.start is None:
        return
    last = max(program.start, program.test.on) if program.test else program.start
    spans = (local_day(facts.now, facts.zone) - last).days // rules.test_after_days
    if spans >= 1:
        due = last + timedelta(days=spans * rules.test_after_days)
        yield Card(
            "strength_test_due",
            episode.episode_id,
            _midnight(due, facts),
            {
                "tested_on": program.test.on.isoformat() if program.test else "",
                "since": last.isoformat(),
                "rule": f"{rules.test_after_days} days of the program without a strength test "
                "or an observed contraction",
            },
        )


def course_review_due(episode: EpisodeFacts, facts: Facts) -> Iterator[Card]:
    """The clinic's own conditions for a review are met, or the planned weeks are over.

    Without a limb symmetry index against a sound limb only the planned weeks tell.
    """
    program = facts.programs.get(episode.episode_id, ProgramFact())
    if not program.running or program.start is None:
        return
    moments = {
        "conditions_met": _conditions_met(program, facts),
        "planned_weeks_over": _planned_over(program, facts),
    }
    met = {what: moment for what, moment in moments.items() if moment}
    if met:
        yield Card(
            "course_review_due",
            episode.episode_id,
            max(met.values()),
            {
                "what": sorted(met),
                "since": program.start.isoformat(),
                "rule": "the clinic's least weeks are over and the limb symmetry index is high "
                "enough, or the weeks planned for this course are over",
            },
        )


def _conditions_met(program: ProgramFact, facts: Facts) -> datetime | None:
    """From when: the later of the least weeks and the test that met the rest."""
    test = program.test
    if test is None:
        return None
    today = local_day(facts.now, facts.zone)
    review = course_review(
        pathway=program.pathway,
        weeks_since_start=_weeks(program.start, today),
        weeks_since_surgery=_weeks(program.surgery_on, today) if program.surgery_on else None,
        lsi_pct=test.lsi_pct,
        lsi_reliable=test.lsi_reliable,
        rules=program.course,
    )
    if not review.may_review:
        return None
    after_surgery = program.pathway == "post_operative" and program.surgery_on
    counted_from = program.surgery_on if after_surgery else program.start
    weeks_met = counted_from + timedelta(weeks=program.course.minimum_weeks(program.pathway))
    return max(_midnight(weeks_met, facts), test.recorded_at)


def _planned_over(program: ProgramFact, facts: Facts) -> datetime | None:
    if not program.planned_weeks:
        return None
    end = program.start + timedelta(weeks=program.planned_weeks)
    return _midnight(end, facts) if end <= local_day(facts.now, facts.zone) else None


def _weeks(since: date, today: date) -> float:
    return (today - since).days / 7


def _midnight(day: date, facts: Facts) -> datetime:
    return min(datetime.combine(day, time(), tzinfo=facts.zone), facts.now)
