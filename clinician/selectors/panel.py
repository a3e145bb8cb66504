"""The panel: one row per current patient, ready to print.

The number of queries is the same for one patient and for five hundred.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from django.db.models import OuterRef, Subquery
from django.urls import reverse

from clinician.selectors import order, reasons
from clinician.selectors.strip import Cell, cells
from clinician.selectors.words import ago, day_short, plural, stale
from homeprogram.calc.adherence import Adherence, adherence
from homeprogram.calc.days import ONE_DAY
from homeprogram.models import (
    Bout,
    Clinic,
    Episode,
    Flag,
    FlagState,
    Patient,
    PhoneState,
    SkinCheck,
)
from homeprogram.selectors.plans import Context, contexts
from homeprogram.selectors.record import patients_of_clinic

STRIP_DAYS = 14
LATELY = timedelta(days=STRIP_DAYS)
GROUPS = (
    ("safety", "Safety", {"stop_report", "skin_reaction", "something_changed"}),
    ("look", "Needs a look", {"rule_failed"}),
    ("contact", "Asks for contact", {"contact_wanted"}),
    (
        "felt",
        "Pain, discomfort, too much",
        {"knee_pain_worse", "discomfort_worse", "over_ceiling", "over_use"},
    ),
    ("dose", "Days and dose", {"missed_days", "under_dose", "intensity_below_effective"}),
    ("data", "Pads, log and phone", {"pads_due", "held_entry", "lost_entries", "no_contact"}),
    (
        "review",
        "To review when convenient",
        {"stimulator_at_limit", "dose_review_due", "strength_test_due", "course_review_due"},
    ),
    ("hold", "On hold", {order.HOLD}),
)
QUIET_GROUP = ("quiet", "Nothing raised")


@dataclass(frozen=True, slots=True)
class Reason:
    code: str
    name: str
    text: str
    limb: str
    since: str
    safety: bool


@dataclass(frozen=True, slots=True)
class Part:
    """A few words; `code` says how they look."""

    text: str
    code: str = ""


@dataclass(frozen=True, slots=True)
class LimbLine:
    """One limb of one patient over the strip's days."""

    limb: str
    side: str
    cells: list[Cell]
    counts: list[Part]
    felt: list[Part]


@dataclass(frozen=True, slots=True)
class Row:
    url: str
    name: str
    group: str
    reasons: list[Reason]
    limbs: list[LimbLine]
    hold: str
    contact: str
    contact_stale: bool


@dataclass(frozen=True, slots=True)
class Group:
    code: str
    title: str
    first: int  # place of its first row on the whole panel
    rows: list[Row]


@dataclass(frozen=True, slots=True)
class Lately:
    """Newest discomfort and worst skin grade of one episode's strip."""

    discomfort: int | None
    grade: int | None


def panel_groups(*, clinic: Clinic, now: datetime) -> list[Group]:
    """Every current patient in the documented order, cut where the reason changes kind."""
    by_group: dict[str, list[Row]] = defaultdict(list)
    for row in panel_rows(clinic=clinic, now=now):
        by_group[row.group].append(row)
    groups, first = [], 1
    for code, title in [(code, title) for code, title, _ in GROUPS] + [QUIET_GROUP]:
        if rows := by_group[code]:
            groups.append(Group(code, title, first, rows))
            first += len(rows)
    return groups


def panel_rows(*, clinic: Clinic, now: datetime) -> list[Row]:
    patients = list(patients_of_clinic(clinic=clinic))
    flags = _open_flags(clinic)
    lately = _lately(patients, now)
    everyone = contexts(patients=patients, now=now, days_back=STRIP_DAYS)
    everyone.sort(key=lambda c: order.panel_key(standing(c, flags[c.patient.id])))
    return [_row(context, flags[context.patient.id], lately) for context in everyone]


def standing(context: Context, flags: Sequence[Flag]) -> order.Standing:
    return order.Standing(
        id=context.patient.id,
        flags=tuple((flag.reason, flag.opened_at) for flag in flags),
        held=bool(context.standing_holds),
        reviewed_at=context.patient.reviewed_at,
        heard_at=context.last_contact_at,
    )


def _open_flags(clinic: Clinic) -> dict[UUID, list[Flag]]:
    """Gravest first, then oldest first."""
    flags: dict[UUID, list[Flag]] = defaultdict(list)
    stored = Flag.objects.filter(clinic=clinic, state=FlagState.OPEN)
    for flag in sorted(stored, key=lambda f: (order.place(f.reason), f.opened_at)):
        flags[flag.patient_id].append(flag)
    return flags


def _lately(patients: Sequence[Patient], now: datetime) -> dict[UUID, Lately]:
    since = (now - LATELY).date()
    bouts = Bout.objects.filter(episode=OuterRef("pk"), for_date__gte=since)
    checks = SkinCheck.objects.filter(episode=OuterRef("pk"), for_date__gte=since)
    episodes = Episode.objects.filter(patient__in=patients, ended_on=None).values(
        "id",
        felt=Subquery(bouts.order_by("-for_date", "-id").values("discomfort")[:1]),
        grade=Subquery(checks.order_by("-grade").values("grade")[:1]),
    )
    return {one["id"]: Lately(one["felt"], one["grade"]) for one in episodes}


def _row(context: Context, flags: Sequence[Flag], lately: dict[UUID, Lately]) -> Row:
    open_episodes = [e for e in context.episodes if e.ended_on is None]
    limbs = {episode.id: episode.limb.upper() for episode in context.episodes}
    return Row(
        url=reverse("patient-detail", kwargs={"patient_id": context.patient.id}),
        name=context.patient.name,
        group=_group(context, flags),
        reasons=[_reason(flag, limbs.get(flag.episode_id, ""), context.now) for flag in flags],
        limbs=[_limb(context, episode, lately[episode.id]) for episode in open_episodes],
        hold=_hold(context, limbs),
        contact=_contact(context),
        contact_stale=stale(context.last_contact_at, context.now),
    )


def _group(context: Context, flags: Sequence[Flag]) -> str:
    place = order.rank(standing(context, flags))
    if place == order.QUIET:
        return QUIET_GROUP[0]
    return next(code for code, _, codes in GROUPS if order.RANKS[place] in codes)


def _reason(flag: Flag, limb: str, now: datetime) -> Reason:
    return Reason(
        code=flag.reason,
        name=reasons.name(flag.reason),
        text=reasons.in_words(flag),
        limb=limb,
        since=ago(flag.opened_at, now),
        safety=flag.safety,
    )


def _hold(context: Context, limbs: dict[UUID, str]) -> str:
    holds = context.standing_holds
    if not holds:
        return ""
    if any(hold.scope == "all" for hold in holds):
        return "Hold: no bout on either leg"
    held = sorted({limbs[hold.episode_id] for hold in holds})
    return f"Hold: no bout on the {' and '.join(held)} leg"


def _contact(context: Context) -> str:
    if not any(phone.state == PhoneState.ACTIVE for phone in context.phones):
        waiting = any(phone.state == PhoneState.WAITING for phone in context.phones)
        return "phone waits to be confirmed" if waiting else "no phone paired"
    return f"phone heard {ago(context.last_contact_at, context.now)}"


def _limb(context: Context, episode: Episode, lately: Lately) -> LimbLine:
    first = context.today - (STRIP_DAYS - 1) * ONE_DAY
    days = context.days(episode, first, context.today)
    return LimbLine(
        limb=episode.limb.upper(),
        side=episode.limb,
        cells=cells(days),
        counts=list(_counts(adherence(days))),
        felt=list(_felt(context, episode, lately)),
    )


def _counts(counted: Adherence) -> Iterable[Part]:
    """Bouts and contractions apart; unknown days and over-use stay visible."""
    if counted.bouts_due:
        yield Part(f"{counted.bouts_done} of {counted.bouts_due} bouts")
        yield Part(f"{counted.contractions_done} of {counted.contractions_due} contractions")
    else:
        yield Part("nothing due and known")
    if counted.unknown_days:
        yield Part(unknown_words(counted), "unknown")
    if counted.bouts_over:
        yield Part(f"{plural(counted.bouts_over, 'bout')} more than asked", "over")


def _felt(context: Context, episode: Episode, lately: Lately) -> Iterable[Part]:
    if lately.discomfort is not None:
        yield Part(f"discomfort {lately.discomfort} of 10")
    if lately.grade is not None:
        yield Part(f"skin grade {lately.grade} of 4", f"skin-{lately.grade}")
    yield Part(course(context, episode))
    for note in _notes(context, episode):
        yield Part(note, "note")


def unknown_words(counted: Adherence) -> str:
    """k of n days not known yet."""
    return f"{counted.unknown_days} of {plural(counted.due_days, 'day')} not known yet"


def course(context: Context, episode: Episode) -> str:
    """Where in the course this limb is: "week 3 after surgery"."""
    if episode.surgery_on is None:
        week = (context.today - episode.starts_on).days // 7 + 1
        return (
            f"week {week}, no surgery planned"
            if episode.pathway == "conservative"
            else f"week {week}, before surgery"
        )
    days = (context.today - episode.surgery_on).days
    if days < 0:
        return f"surgery in {plural(-days, 'day')}"
    return f"week {days // 7 + 1} after surgery"


def _notes(context: Context, episode: Episode) -> Iterable[str]:
    program = getattr(episode, "program", None)
    revisions = context.program_revisions(episode)
    if program is None or not revisions:
        yield "no home program yet"
        return
    newest = revisions[-1]
    if getattr(newest, "on_phone", None) is None:
        yield f"revision {newest.number} not yet on the phone"
    elif newest.first_day > context.today:
        yield f"revision {newest.number} from {day_short(newest.first_day)}"
    for pause in context.pauses[str(episode.id)]:
        if pause.first_day <= context.today and (
            pause.last_day is None or pause.last_day >= context.today
        ):
            until = f" until {day_short(pause.last_day)}" if pause.last_day else ""
            yield f"paused since {day_short(pause.first_day)}{until}"
