"""One row of the panel, ready to print."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.urls import reverse

from clinician.selectors import reasons
from clinician.selectors.duty import Waiting
from clinician.selectors.lately import DISCOMFORT, Fortnight, Lately
from clinician.selectors.open_matters import OpenMatters
from clinician.selectors.spark import Line, line_of
from clinician.selectors.strip import Cell, cells
from clinician.selectors.words import ago, day_short, plural, stale
from homeprogram.calc.adherence import Adherence, adherence
from homeprogram.calc.clinic_settings import ClinicSettings
from homeprogram.calc.days import ONE_DAY
from homeprogram.models import Episode, Flag, PhoneState
from homeprogram.selectors.plans import Context

STRIP_DAYS = 14


@dataclass(frozen=True, slots=True)
class Reason:
    code: str
    name: str
    text: str
    limb: str
    since: str
    safety: bool
    waits: str  # for whom, while nobody has seen it


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
    lines: list[Line]


@dataclass(frozen=True, slots=True)
class Row:
    id: UUID
    url: str
    name: str
    clinician: str
    covering: bool
    reasons: list[Reason]
    limbs: list[LimbLine]
    hold: str
    contact: str
    contact_stale: bool
    reviewed: str
    incident: str
    owed: str


def row_of(
    context: Context,
    recent: Lately,
    matters: OpenMatters,
    waits: Mapping[UUID, Waiting],
    *,
    covering: bool,
) -> Row:
    """`covering` = for the patient's own clinician."""
    patient = context.patient
    open_episodes = [e for e in context.episodes if e.ended_on is None]
    limbs = {episode.id: episode.limb.upper() for episode in context.episodes}
    cards = matters.flags.get(patient.id, ())
    return Row(
        id=patient.id,
        url=reverse("patient-detail", kwargs={"patient_id": patient.id}),
        name=patient.name,
        clinician=patient.clinician.name if patient.clinician else "",
        covering=covering,
        reasons=[_reason(f, limbs.get(f.episode_id, ""), context.now, waits) for f in cards],
        limbs=[_limb(context, episode, recent) for episode in open_episodes],
        hold=_hold(context, limbs),
        contact=_contact(context),
        contact_stale=stale(context.last_contact_at, context.now),
        reviewed=f"reviewed {ago(patient.reviewed_at, context.now)}"
        if patient.reviewed_at
        else "never reviewed",
        incident="; ".join(matters.incidents.get(patient.id, ())),
        owed="; ".join(matters.calls.get(patient.id, ())),
    )


def _reason(flag: Flag, limb: str, now: datetime, waits: Mapping[UUID, Waiting]) -> Reason:
    return Reason(
        code=flag.reason,
        name=reasons.name(flag.reason),
        text=reasons.in_words(flag),
        limb=limb,
        since=ago(flag.opened_at, now),
        safety=flag.safety,
        waits=waits[flag.id].short if flag.id in waits else "",
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


def _limb(context: Context, episode: Episode, recent: Lately) -> LimbLine:
    first = context.today - (STRIP_DAYS - 1) * ONE_DAY
    days = context.days(episode, first, context.today)
    mine = recent.episodes[episode.id]
    return LimbLine(
        limb=episode.limb.upper(),
        side=episode.limb,
        cells=cells(days),
        counts=list(_counts(adherence(days), _bar(context))),
        felt=list(_felt(context, episode, mine)),
        lines=list(_lines(mine, recent, [day.day for day in days])),
    )


def _lines(mine: Fortnight, recent: Lately, days: Sequence[date]) -> Iterable[Line]:
    if mine.current and (line := line_of(mine.current, days, recent.currents[mine.unit])):
        yield line
    if line := line_of(mine.discomfort, days, DISCOMFORT):
        yield line


def _bar(context: Context) -> int:
    """The share of due bouts that the clinic calls as agreed. [%]"""
    return ClinicSettings.of_clinic(context.patient.clinic.settings).adherence_bar_pct


def _counts(counted: Adherence, bar_pct: int) -> Iterable[Part]:
    """Bouts and contractions apart; unknown days and over-use stay visible."""
    if counted.bouts_due:
        if 100 * counted.bouts_done < bar_pct * counted.bouts_due:
            yield Part(f"under {bar_pct} % of bouts", "over")
        yield Part(f"{counted.bouts_done} of {counted.bouts_due} bouts")
        yield Part(f"{counted.contractions_done} of {counted.contractions_due} contractions")
    else:
        yield Part("nothing due and known")
    if counted.unknown_days:
        yield Part(unknown_words(counted), "unknown")
    if counted.bouts_over:
        yield Part(f"{plural(counted.bouts_over, 'bout')} more than asked", "over")


def _felt(context: Context, episode: Episode, mine: Fortnight) -> Iterable[Part]:
    if mine.grade is not None:
        yield Part(f"skin grade {mine.grade} of 4", f"skin-{mine.grade}")
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
        if pause.covers(context.today):
            until = f" until {day_short(pause.last_day)}" if pause.last_day else ""
            yield f"paused since {day_short(pause.first_day)}{until}"
