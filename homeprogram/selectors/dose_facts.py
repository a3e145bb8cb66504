"""What the flag rules may look at of bouts and programs. No question to the database.

Bouts come from the entries that a push has read anyway, corrections applied.
"""

from collections.abc import Sequence
from dataclasses import replace

from homeprogram.calc.flag_facts import BoutFact, EvokedFact, ProgramFact, Setup, StrengthFact
from homeprogram.calc.readings import Reading, bout_complete, over_ceiling
from homeprogram.calc.strength_check import course_rules
from homeprogram.models import Episode, Revision, StrengthTest
from homeprogram.selectors.log import dose_of
from homeprogram.selectors.plans import Context


def bouts(context: Context, standing: Sequence[Reading]) -> tuple[BoutFact, ...]:
    revisions = {str(revision.id): revision for revision in context.every_revision}
    return tuple(
        _bout(one, revisions[one.original.revision_id])
        for one in standing
        if one.original.kind == "bout" and one.original.revision_id in revisions
    )


def _bout(reading: Reading, revision: Revision) -> BoutFact:
    said, dose = reading.payload, dose_of(revision)
    return BoutFact(
        entry_id=reading.original.id,
        episode_id=reading.original.episode_id,
        revision_id=str(revision.id),
        day=reading.original.for_date,
        started_at=said["started_at"],
        said_at=reading.said_at,
        complete=bout_complete(said["contractions"], dose.contractions),
        ended_early=bool(said["ended_early"]),
        discomfort=said["discomfort"],
        pain_before=said["knee_pain_before"],
        pain_after=said["knee_pain_after"],
        intensity=tuple(sorted((one["channel"], one["value"]) for one in said["intensity"])),
        over_ceiling=over_ceiling(said["intensity"], dose.ceilings),
        at_limit=_at_limit(said["intensity"], revision),
        setup=_setup(revision) if _own_unit(said["intensity"], revision) else None,
    )


def _own_unit(intensity: Sequence[dict], revision: Revision) -> bool:
    return all(one["unit"] == revision.stimulator.unit for one in intensity)


def _setup(revision: Revision) -> Setup:
    return Setup(str(revision.stimulator_id), tuple(sorted(revision.pads)), revision.knee_angle_deg)


def _at_limit(intensity: Sequence[dict], revision: Revision) -> bool:
    """Compared in one unit only; a bout in another says nothing about the limit."""
    profile = revision.stimulator
    return any(
        one["unit"] == profile.unit and one["value"] >= profile.max_intensity for one in intensity
    )


def programs(context: Context) -> dict[str, ProgramFact]:
    """By episode, of those that go on."""
    going = [e for e in context.episodes if e.ended_on is None and _goes_on(context, e)]
    return {str(e.id): _program(context, e, _tests(context, e)) for e in going}


def _goes_on(context: Context, episode: Episode) -> bool:
    program = getattr(episode, "program", None)
    revisions = context.program_revisions(episode)
    return (
        program is not None
        and program.ended_on is None
        and bool(revisions)
        and revisions[0].first_day <= context.today
    )


def _tests(context: Context, episode: Episode) -> list[StrengthTest]:
    """Tests with figures or an observed contraction, oldest first."""
    mine = [test for test in context.tests if test.episode_id == episode.id]
    return [test for test in mine if test.result or test.observed_contraction]


def _program(context: Context, episode: Episode, tests: Sequence[StrengthTest]) -> ProgramFact:
    revisions = context.program_revisions(episode)
    evoked = [test for test in tests if test.result.get("evoked_pct_mvic") is not None]
    return ProgramFact(
        running=True,
        start=revisions[0].first_day,
        revision_id=str(revisions[-1].id),
        pathway=episode.pathway,
        surgery_on=episode.surgery_on,
        planned_weeks=(revisions[-1].details or {}).get("weeks"),
        course=course_rules(context.patient.clinic.course),
        test=_strength(tests[-1]) if tests else None,
        evoked=_evoked(evoked[-1], revisions) if evoked and evoked[-1].evoked_at else None,
    )


def _evoked(test: StrengthTest, revisions: Sequence[Revision]) -> EvokedFact:
    """As set up by the newest dose that had begun by the day of the test, at its angle."""
    begun = [revision for revision in revisions if revision.first_day <= test.on]
    setup = _setup(begun[-1] if begun else revisions[0])
    return EvokedFact(
        on=test.on,
        pct=test.result["evoked_pct_mvic"],
        intensity=tuple(sorted((one["channel"], one["value"]) for one in test.evoked_at)),
        setup=replace(setup, knee_angle_deg=test.knee_angle_deg),
    )


def _strength(test: StrengthTest) -> StrengthFact:
    return StrengthFact(
        on=test.on,
        recorded_at=test.recorded_at,
        lsi_pct=test.result.get("lsi_pct"),
        lsi_reliable=not test.result or test.request.get("other_limb") == "sound",
    )
