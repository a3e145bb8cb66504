"""Flags of one patient with all that a clinician needs to judge them, ready to print."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.selectors import facts, order, reasons, thresholds
from clinician.selectors.duty import Waiting, waiting_of
from clinician.selectors.words import ago, day_short, days_said, moment_long
from homeprogram.models import Entry, Flag, FlagDeed, FlagEvent, FlagState
from homeprogram.selectors.plans import Context

NOT_PRINTED = {"rule", "entries", "days"}  # said elsewhere on the card
SCREEN_AGAIN = {"stop_report", "something_changed"}


@dataclass(frozen=True, slots=True)
class EntryLink:
    """One entry behind a flag, and its place on the patient page."""

    pk: int
    on: date
    words: str


@dataclass(frozen=True, slots=True)
class FlagCard:
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
    known_until: str  # the newest fact, for whoever closes what they saw
    newest_fact: str
    count: str
    rule: str
    version: int
    limits: str
    inputs: list[tuple[str, str]]
    entries: list[EntryLink]
    blind: str
    waits: str
    seen: str
    ending: str


def flag_cards(
    context: Context, flags: Iterable[Flag], zone: ZoneInfo, entries: Iterable[Entry] = ()
) -> list[FlagCard]:
    """Open ones in the panel's order, then the others, newest ending first.

    `entries` = those the page shows, so that a card can lead to the ones behind it.
    """
    cards = sorted(
        flags,
        key=lambda f: (
            f.state != FlagState.OPEN,
            order.place(f.reason) if f.state == FlagState.OPEN else 0,
            f.opened_at.timestamp() if f.state == FlagState.OPEN else -f.closed_at.timestamp(),
        ),
    )
    for flag in cards:
        flag.patient = context.patient  # read already
    waits = waiting_of(clinic=context.patient.clinic, flags=cards, at=context.now)
    behind = {str(entry.entry_id): entry for entry in entries}
    return [_flag_card(flag, context, zone, waits, behind) for flag in cards]


def _flag_card(
    flag: Flag,
    context: Context,
    zone: ZoneInfo,
    waits: Mapping[UUID, Waiting],
    behind: Mapping[str, Entry],
) -> FlagCard:
    basis, patient = flag.basis, context.patient
    limbs = [(e.id, e.limb.upper()) for e in context.episodes if e.ended_on is None]
    return FlagCard(
        id=flag.id,
        code=flag.reason,
        name=reasons.name(flag.reason),
        limb=flag.episode.limb.upper() if flag.episode else "",
        screen=limbs if flag.reason in SCREEN_AGAIN else [],
        text=reasons.in_words(flag),
        safety=flag.safety,
        open=flag.state == FlagState.OPEN,
        since=ago(flag.opened_at, context.now),
        opened=moment_long(flag.opened_at, zone),
        known_until=flag.fact_at.isoformat(),
        newest_fact=moment_long(flag.fact_at, zone),
        count="" if flag.count == 1 else f"raised {flag.count} times",
        rule=basis.get("rule", ""),
        version=flag.rule_version,
        limits=thresholds.whose(flag.reason, patient.clinic.rules, patient.rules),
        inputs=[
            (key.replace("_", " "), _plain(v)) for key, v in basis.items() if key not in NOT_PRINTED
        ],
        entries=_links([behind[one] for one in basis.get("entries", []) if one in behind]),
        blind=reasons.BLIND.get(flag.reason, ""),
        waits=waits[flag.id].words if flag.id in waits else "",
        seen=_seen(flag, context.now),
        ending=_ending(flag, zone),
    )


def _links(entries: Sequence[Entry]) -> list[EntryLink]:
    """Newest first."""
    newest = sorted(entries, key=lambda entry: (entry.for_date, entry.pk), reverse=True)
    return [
        EntryLink(one.pk, one.for_date, f"{facts.title(one).lower()} of {day_short(one.for_date)}")
        for one in newest
    ]


def _plain(value: object) -> str:
    if isinstance(value, list):
        return ", ".join(str(one).replace("_", " ") for one in value)
    return days_said(str(value).replace("_", " "))


def _seen(flag: Flag, now: datetime) -> str:
    if flag.state != FlagState.OPEN or flag.seen_at is None:
        return ""
    return f"{flag.seen_by.name} looks after it, since {ago(flag.seen_at, now)}"


def _ending(flag: Flag, zone: ZoneInfo) -> str:
    if flag.state == FlagState.OPEN:
        return ""
    when = moment_long(flag.closed_at, zone)
    if flag.state == FlagState.CLEARED:
        return f"Cleared by itself on {when}: the rule no longer holds."
    outcome = f", {flag.get_outcome_display()}" if flag.outcome else ""
    return f"Closed by {flag.closed_by.name} on {when}{outcome}: {flag.close_reason}"


def flag_events(*, flag: Flag, zone: ZoneInfo) -> list[str]:
    """Who did what about this card, newest first."""
    events = FlagEvent.objects.filter(flag=flag).select_related("by").order_by("-at")
    return [_event(one, zone) for one in events]


def _event(event: FlagEvent, zone: ZoneInfo) -> str:
    when = moment_long(event.at, zone)
    if event.deed == FlagDeed.CLEARED:
        return f"{when}: cleared by itself"
    if event.deed == FlagDeed.SEEN:
        return f"{when}: {event.by.name} looks after it"
    if event.deed == FlagDeed.REMARK:
        return f"{when}: {event.by.name} adds “{event.words}”"
    return f"{when}: {event.by.name} closed it, {event.get_outcome_display()}: “{event.words}”"
