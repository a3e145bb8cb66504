"""Flags, holds and held entries of one patient, with their basis, ready to print."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.selectors import order, reasons
from clinician.selectors.words import ago, day_short, moment_long, plural
from homeprogram.models import Flag, FlagState, HeldEntry, Hold, Lift
from homeprogram.selectors.plans import Context
from homeprogram.selectors.releases import releases

NOT_PRINTED = {"rule", "entries", "days"}  # said elsewhere on the card
SCREEN_AGAIN = {"stop_report", "something_changed"}
HOLD_REASONS = {
    "emergency": "stop report, emergency symptom",
    "same_day": "stop report, same-day symptom",
    "surgeon": "stop report for the surgeon",
    "clinic": "stop report for the clinic",
    "something_changed": "pregnancy or an implant told",
}


@dataclass(frozen=True, slots=True)
class FlagCard:
    """A flag with all that a clinician needs to judge it."""

    id: UUID
    code: str
    name: str
    limb: str
    screen: list[tuple[UUID, str]]  # open episodes to screen again: id, limb
    text: str
    safety: bool
    open: bool
    since: str
    opened: str
    newest_fact: str
    count: str
    rule: str
    version: int
    inputs: list[tuple[str, str]]
    entry_ids: list[str]
    blind: str
    ending: str


@dataclass(frozen=True, slots=True)
class HoldCard:
    id: UUID
    covers: str
    reason: str
    since: str
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


def flag_cards(context: Context, flags: Iterable[Flag], zone: ZoneInfo) -> list[FlagCard]:
    """Open ones in the panel's order, then the others, newest ending first."""
    cards = sorted(
        flags,
        key=lambda f: (
            f.state != FlagState.OPEN,
            order.place(f.reason) if f.state == FlagState.OPEN else 0,
            f.opened_at.timestamp() if f.state == FlagState.OPEN else -f.closed_at.timestamp(),
        ),
    )
    open_limbs = [(e.id, e.limb.upper()) for e in context.episodes if e.ended_on is None]
    return [_flag_card(flag, context.now, zone, open_limbs) for flag in cards]


def _flag_card(
    flag: Flag, now: datetime, zone: ZoneInfo, open_limbs: list[tuple[UUID, str]]
) -> FlagCard:
    basis = flag.basis
    return FlagCard(
        id=flag.id,
        code=flag.reason,
        name=reasons.name(flag.reason),
        limb=flag.episode.limb.upper() if flag.episode else "",
        screen=open_limbs if flag.reason in SCREEN_AGAIN else [],
        text=reasons.in_words(flag),
        safety=flag.safety,
        open=flag.state == FlagState.OPEN,
        since=ago(flag.opened_at, now),
        opened=moment_long(flag.opened_at, zone),
        newest_fact=moment_long(flag.fact_at, zone),
        count="" if flag.count == 1 else f"raised {flag.count} times",
        rule=basis.get("rule", ""),
        version=flag.rule_version,
        inputs=[
            (key.replace("_", " "), _plain(v)) for key, v in basis.items() if key not in NOT_PRINTED
        ],
        entry_ids=list(basis.get("entries", [])),
        blind=reasons.BLIND.get(flag.reason, ""),
        ending=_ending(flag, zone),
    )


def _plain(value: object) -> str:
    if isinstance(value, list):
        return ", ".join(str(one).replace("_", " ") for one in value)
    return str(value).replace("_", " ")


def _ending(flag: Flag, zone: ZoneInfo) -> str:
    if flag.state == FlagState.OPEN:
        return ""
    when = moment_long(flag.closed_at, zone)
    if flag.state == FlagState.CLEARED:
        return f"Cleared by itself on {when}: the rule no longer holds."
    return f"Closed by {flag.closed_by.name} on {when}: {flag.close_reason}"


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
