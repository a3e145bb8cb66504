"""Holds and held entries of one patient, ready to print."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.selectors.words import ago, day_short, moment_long, plural
from homeprogram.models import HeldEntry, Hold, Lift
from homeprogram.selectors.plans import Context
from homeprogram.selectors.releases import releases

HOLD_REASONS = {
    "emergency": "stop report, emergency symptom",
    "same_day": "stop report, same-day symptom",
    "surgeon": "stop report for the surgeon",
    "clinic": "stop report for the clinic",
    "something_changed": "pregnancy or an implant told",
}


@dataclass(frozen=True, slots=True)
class HoldCard:
    id: UUID
    covers: str
    reason: str
    since: str
    on: date
    entry_pk: int


@dataclass(frozen=True, slots=True)
class ReleaseCard:
    """What to read out to a patient whose phone may not have heard of a lift."""

    code: str
    phone: str
    ends: str
    heard: str


@dataclass(frozen=True, slots=True)
class HeldCard:
    id: UUID
    day: str
    received: str
    message: str
    raw: str


def hold_cards(context: Context) -> list[HoldCard]:
    """Standing holds, oldest first."""
    limbs = {episode.id: episode.limb.upper() for episode in context.episodes}
    return [_hold_card(hold, limbs, context.now) for hold in context.standing_holds]


def _hold_card(hold: Hold, limbs: dict[UUID, str], now: datetime) -> HoldCard:
    grade = hold.reason.removeprefix("skin_grade_")
    reason = f"skin check, grade {grade} of 4" if grade.isdigit() else HOLD_REASONS[hold.reason]
    return HoldCard(
        id=hold.id,
        covers="no bout on either leg"
        if hold.scope == "all"
        else f"no bout on the {limbs[hold.episode_id]} leg",
        reason=f"{reason}, {day_short(hold.first_day)}",
        since=ago(hold.placed_at, now),
        on=hold.first_day,
        entry_pk=hold.entry_id,
    )


def lifted_lines(context: Context, zone: ZoneInfo) -> list[str]:
    """Holds that a clinician ended, newest first."""
    lifts = {hold.lift_id: hold.lift for hold in context.holds if hold.lift_id}
    counts = [hold.lift_id for hold in context.holds]
    newest = sorted(lifts.values(), key=lambda lift: lift.lifted_at, reverse=True)
    return [_lifted_line(lift, counts.count(lift.id), zone) for lift in newest]


def release_cards(context: Context, zone: ZoneInfo) -> list[ReleaseCard]:
    return [
        ReleaseCard(
            code=one.code,
            phone=one.phone.label,
            ends=f"{plural(one.holds, 'hold')} lifted on {moment_long(one.lift.lifted_at, zone)}",
            heard=ago(one.phone.last_contact_at, context.now),
        )
        for one in releases(context)
    ]


def _lifted_line(lift: Lift, holds: int, zone: ZoneInfo) -> str:
    when = moment_long(lift.lifted_at, zone)
    return f"{plural(holds, 'hold')} lifted on {when}: {lift.reason}"


def held_cards(held: Sequence[HeldEntry], zone: ZoneInfo) -> list[HeldCard]:
    return [
        HeldCard(
            id=one.id,
            day=day_short(one.for_date) if one.for_date else "day not readable",
            received=moment_long(one.received_at, zone),
            message=one.message,
            raw=one.raw,
        )
        for one in held
    ]
