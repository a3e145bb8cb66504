"""What some days of one limb came to, in lines that a review and a note both use."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from clinician.selectors.facts import REASONS
from clinician.selectors.reasons import MOMENTS
from clinician.selectors.words import day_short, listed, number, plural
from homeprogram.calc.adherence import Adherence, Day, adherence
from homeprogram.calc.days import days_between
from homeprogram.calc.readings import Reading
from homeprogram.calc.skin import check_grade
from homeprogram.calc.summary import Spread, spread
from homeprogram.models import Episode
from homeprogram.selectors.plans import Context


@dataclass(frozen=True, slots=True)
class SkinDay:
    """The worst check of one day; `grade` None = no check came."""

    day: str
    grade: int | None
    words: str


def limb_lines(
    context: Context, episode: Episode, standing: Iterable[Reading], first: date, last: date
) -> list[tuple[str, str]]:
    """(measure, words); the same measures in the same order for every span of days."""
    told = [
        one
        for one in standing
        if one.original.episode_id == str(episode.id) and first <= one.original.for_date <= last
    ]
    by_kind: dict[str, list[Reading]] = defaultdict(list)
    for one in told:
        by_kind[one.original.kind].append(one)
    days = context.days(episode, first, last)
    return [
        *_counted(adherence(days)),
        ("At or above the floor", _at_floor(days)),
        *_felt(by_kind["bout"]),
        ("Current", _current(by_kind["bout"])),
        ("Skin", _skin(by_kind["skin_check"])),
        ("Next morning", _mornings(by_kind["morning_check"])),
        ("Not done", _not_done(by_kind["not_done"])),
    ]


def _counted(counted: Adherence) -> Iterator[tuple[str, str]]:
    unknown = counted.unknown_days
    more = f", {plural(counted.bouts_over, 'bout')} more than asked" if counted.bouts_over else ""
    if counted.bouts_due:
        yield "Bouts", f"{counted.bouts_done} of {counted.bouts_due}{more}"
        yield "Contractions", f"{counted.contractions_done} of {counted.contractions_due}"
    else:
        yield "Bouts", f"none due and known{more}"
        yield "Contractions", "none due and known"
    yield "Minutes", number(round(counted.minutes_done))
    due = plural(counted.due_days, "due day")
    yield "Not known yet", f"{unknown} of {due}" if unknown else "no day"


def _at_floor(days: Iterable[Day]) -> str:
    """Of all bouts logged, due or not."""
    logged = sum(day.logged.bouts_done + day.logged.bouts_partial for day in days)
    floor = sum(day.logged.at_floor for day in days)
    return f"{floor} of {plural(logged, 'bout')} logged" if logged else "no bout logged"


def _felt(bouts: Sequence[Reading]) -> Iterator[tuple[str, str]]:
    def of(name: str) -> str:
        return rated(spread(one.payload[name] for one in bouts))

    yield "Discomfort", of("discomfort")
    yield "Knee pain before", of("knee_pain_before")
    yield "Knee pain after", of("knee_pain_after")


def rated(found: Spread | None) -> str:
    """On a scale of 0 to 10: "median 3, 2 to 5 of 10"."""
    if found is None:
        return "nothing told"
    if found.lowest == found.highest:
        return f"{number(found.lowest)} of 10"
    return f"median {number(found.median)}, {number(found.lowest)} to {number(found.highest)} of 10"


def _current(bouts: Sequence[Reading]) -> str:
    """Of each channel, lowest to highest; two units never mixed."""
    values: dict[tuple[int, str], list[float]] = defaultdict(list)
    for bout in sorted(bouts, key=lambda one: one.payload["started_at"]):
        for said in bout.payload["intensity"]:
            values[said["channel"], said["unit"]].append(said["value"])
    return "; ".join(_channel(*of, told) for of, told in sorted(values.items())) or "nothing told"


def _channel(channel: int, unit: str, told: list[float]) -> str:
    low, high = min(told), max(told)
    span = (
        f"{number(low)} to {number(high)}, last bout {number(told[-1])}"
        if low != high
        else f"{low:g}"
    )
    return f"channel {channel}: {span} {unit}"


def _grade(check: Reading) -> int:
    return check_grade(check.payload["pads"], check.payload["moment"])


def _skin(checks: Sequence[Reading]) -> str:
    if not checks:
        return "no check"
    worst = max(checks, key=lambda one: (_grade(one), one.original.for_date))
    if not _grade(worst):
        return f"grade 0 of 4 in {plural(len(checks), 'check')}"
    when = f"{MOMENTS[worst.payload['moment']]}, {day_short(worst.original.for_date)}"
    return f"worst grade {_grade(worst)} of 4, {when}; {plural(len(checks), 'check')}"


def _mornings(checks: Sequence[Reading]) -> str:
    if not checks:
        return "nothing told"
    swollen = [one for one in checks if one.payload["swelling"] != "none"]
    much = sum(one.payload["swelling"] == "much" for one in swollen)
    mornings = plural(len(checks), "morning")
    says = f"swelling on {len(swollen)} of {mornings}" if swollen else f"no swelling, {mornings}"
    pain = rated(spread(one.payload["knee_pain"] for one in checks))
    return f"{says}{f', {much} of them much' if much else ''}; knee pain {pain}"


def _not_done(entries: Sequence[Reading]) -> str:
    counts: dict[str, int] = defaultdict(int)
    for one in entries:
        counts[REASONS[one.payload["reason"]]] += 1
    told = [f"{reason} {count} times" if count > 1 else reason for reason, count in counts.items()]
    return listed(told) if told else "nothing told"


def skin_days(
    episode: Episode, standing: Iterable[Reading], first: date, last: date
) -> list[SkinDay]:
    """Day by day, the worst grade with its moment."""
    checks: dict[date, list[Reading]] = defaultdict(list)
    for one in standing:
        if one.original.kind == "skin_check" and one.original.episode_id == str(episode.id):
            checks[one.original.for_date].append(one)
    return [_skin_day(day, checks[day]) for day in days_between(first, last)]


def _skin_day(day: date, checks: Sequence[Reading]) -> SkinDay:
    if not checks:
        return SkinDay(day_short(day), None, "no check")
    worst = max(checks, key=_grade)
    words = f"grade {_grade(worst)} of 4, {MOMENTS[worst.payload['moment']]}"
    return SkinDay(day_short(day), _grade(worst), words)
