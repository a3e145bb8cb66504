"""Each limb's course as plain data. Charts, tables, export and JSON are all read from it."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date, datetime
from uuid import UUID

from clinician.selectors.chart_words import measure_said, signs_said
from clinician.selectors.strip import WORDS
from homeprogram.calc.adherence import Day
from homeprogram.calc.course_numbers import Felt, Measure, Measured, measures
from homeprogram.calc.days import ONE_DAY
from homeprogram.calc.guidance import limits
from homeprogram.calc.strength_check import course_rules
from homeprogram.calc.strength_findings import NAMES
from homeprogram.models import Clinic, Episode, Patient, StrengthTest
from homeprogram.selectors.bouts import bouts_felt
from homeprogram.selectors.one_moment import one_moment
from homeprogram.selectors.plans import Context, context_of, planned
from homeprogram.selectors.strength_tests import strength_tests_of_patient

RANGES = {"4": "4 weeks", "12": "12 weeks", "all": "whole course"}
USUAL = "4"
DAYS_MAX = 366  # [days] of a whole course on one page


def days_of(weeks: str) -> int:
    """The most days a range may have."""
    return DAYS_MAX if weeks == "all" else 7 * int(weeks)


def first_day(*, context: Context, weeks: str) -> date:
    """The first day of a range; of a whole course the start of its earliest episode."""
    furthest = context.today - (days_of(weeks) - 1) * ONE_DAY
    if weeks != "all":
        return furthest
    starts = (episode.starts_on for episode in context.episodes)
    return max(furthest, min(starts, default=context.today))


def charts_of_patient(*, patient: Patient, now: datetime, weeks: str) -> dict:
    with one_moment():
        context = context_of(patient=patient, now=now, days_back=days_of(weeks))
        first = first_day(context=context, weeks=weeks)
        tests = strength_tests_of_patient(patient=patient)
        felt = bouts_felt(episodes=[one.id for one in context.episodes], since=first)
        return charts(context=context, felt=felt, tests=tests, first=first)


def charts(
    *,
    context: Context,
    felt: dict[UUID, list[Felt]],
    tests: dict[UUID, list[StrengthTest]],
    first: date,
) -> dict:
    """Every limb with an episode in the range, on one axis of days and on one scale."""
    shown = [e for e in context.episodes if e.ended_on is None or e.ended_on >= first]
    limbs = [_limb(context, e, felt.get(e.id, []), tests.get(e.id, []), first) for e in shown]
    _scale([chart for limb in limbs for chart in limb["charts"]])
    return {"first": first.isoformat(), "last": context.today.isoformat(), "limbs": limbs}


def _scale(drawn: Sequence[dict]) -> None:
    """The same chart of both limbs ends at the same height, its goals included."""
    tops: dict[str, float] = defaultdict(float)
    for chart in drawn:
        goals = [goal["value"] for goal in chart["goals"]]
        known = [v for line in chart["lines"] for v in line["values"] if v is not None]
        tops[chart["code"]] = max(tops[chart["code"]], *goals, *known)
    for chart in drawn:
        chart["top"] = chart["top"] or tops[chart["code"]]


def _limb(
    context: Context,
    episode: Episode,
    felt: Sequence[Felt],
    tests: Sequence[StrengthTest],
    first: date,
) -> dict:
    days = context.days(episode, first, context.today)
    found = measures(
        days=days,
        felt=felt,
        tested=[_tested(test) for test in tests if test.result],
        evoked_goals=[(limits()["evoked_target"].value, "a target, not a pass mark")],
        lsi_goals=[_course_goal(context.patient.clinic), _sport_goal()],
        epic_goals=[_sport_goal()],
    )
    drawn = [_chart(measure, days) for measure in found]
    return {
        "episode": str(episode.id),
        "limb": episode.limb.upper(),
        "days": [day.day.isoformat() for day in days],
        "status": [WORDS[day.status] for day in days],
        "marks": list(_marks(context, episode, tests, first)),
        "signs": [{"code": c["code"], "title": c["title"]} for c in drawn if c["signs"]],
        "charts": drawn,
    }


def _tested(test: StrengthTest) -> Measured:
    result, request = test.result, test.request
    return Measured(
        day=test.on,
        evoked_pct=result["evoked_pct_mvic"],
        evoked_of=NAMES.get(request.get("evoked_of") or "", ""),
        lsi_pct=result["lsi_pct"],
        lsi_sound=request["other_limb"] == "sound",
        epic_pct=result["epic_pct"],
        mdc_pct=result["mdc_pct"],
    )


def _course_goal(clinic: Clinic) -> tuple[float, str]:
    return course_rules(clinic.course).lsi_pct, "a course goes on until there"


def _sport_goal() -> tuple[float, str]:
    return limits()["lsi_sport"].value, "asked for before sport"


def _marks(
    context: Context, episode: Episode, tests: Sequence[StrengthTest], first: date
) -> Iterator[dict]:
    """From which days another revision was in effect, and on which days strength was tested."""
    for one in map(planned, context.program_revisions(episode)):
        if one.effective_from and first <= one.effective_from <= context.today:
            yield _mark(one.effective_from, "revision", f"revision {one.number}")
    for day in sorted({test.on for test in tests if test.on >= first}):
        yield _mark(day, "test", "strength test")


def _mark(day: date, kind: str, label: str) -> dict:
    return {"day": day.isoformat(), "kind": kind, "label": label}


def _chart(measure: Measure, days: Sequence[Day]) -> dict:
    return {
        "code": measure.code,
        "title": measure.title,
        "unit": measure.unit,
        "bars": measure.bars,
        "top": measure.top,
        "goals": [{"value": value, "label": label} for value, label in measure.goals],
        "lines": [
            {"name": line.name, "end": line.end, "values": list(line.values)}
            for line in measure.lines
        ],
        "said": measure_said(measure, [day.day for day in days]),
        "signs": signs_said(measure),
    }


def rows_of(limb: dict, chart: dict) -> Iterator[tuple[str, str, tuple[float | None, ...]]]:
    """Day, its status and the value of every line, gaps included."""
    values = zip(*(line["values"] for line in chart["lines"]), strict=True)
    yield from zip(limb["days"], limb["status"], values, strict=True)


def sheet_of(data: dict) -> Iterator[list[str | float | None]]:
    """Everything as one sheet: a heading, then a row a limb and day; a gap is None."""
    columns = list(dict.fromkeys(name for limb in data["limbs"] for name, _ in _columns(limb)))
    yield ["Limb", "Day", "The day was", "From that day", *columns]
    for limb in data["limbs"]:
        told = dict(_columns(limb))
        marks = defaultdict(list)
        for mark in limb["marks"]:
            marks[mark["day"]].append(mark["label"])
        for place, (day, status) in enumerate(zip(limb["days"], limb["status"], strict=True)):
            values = [told[name][place] if name in told else None for name in columns]
            yield [limb["limb"], day, status, "; ".join(marks[day]), *values]


def _columns(limb: dict) -> Iterator[tuple[str, Sequence[float | None]]]:
    for chart in limb["charts"]:
        for line in chart["lines"]:
            yield f"{chart['title']}, {line['name']}, {chart['unit']}", line["values"]
