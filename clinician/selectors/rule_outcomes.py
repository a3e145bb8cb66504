"""What came of the flags of each rule in the last eight weeks."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Min, Q

from clinician.selectors import order, reasons
from clinician.selectors.words import day_long
from homeprogram.calc.acted_on import GOAL, SPAN, RuleRecord, proposed_for_change
from homeprogram.calc.days import zone_or_utc
from homeprogram.calc.flags import SAFETY
from homeprogram.models import Clinic, FlagDeed, FlagEvent, FlagOutcome


@dataclass(frozen=True, slots=True)
class RuleLine:
    name: str
    share: str
    closed: str
    nothing_needed: int
    wrong: int
    cleared: int
    since: str
    proposed: bool
    safety: bool


def rule_lines(*, clinic: Clinic, now: datetime) -> list[RuleLine]:
    """In the panel's order; one question, counted by the database."""
    zone = zone_or_utc(clinic.zone)
    lately = Q(at__gte=now - SPAN, at__lte=now)
    ended = FlagEvent.objects.filter(clinic=clinic, deed__in=(FlagDeed.CLOSED, FlagDeed.CLEARED))
    counted = ended.values("reason").annotate(
        acted_on=Count("id", filter=lately & Q(outcome=FlagOutcome.ACTED_ON)),
        nothing_needed=Count("id", filter=lately & Q(outcome=FlagOutcome.NOTHING_NEEDED)),
        wrong=Count("id", filter=lately & Q(outcome=FlagOutcome.WRONG)),
        cleared=Count("id", filter=lately & Q(deed=FlagDeed.CLEARED)),
        since=Min("at"),
    )
    records = [RuleRecord(**row) for row in counted.order_by()]
    return [
        RuleLine(
            name=reasons.name(one.reason),
            share="none closed" if one.share is None else in_percent(one.share),
            closed=f"{one.acted_on} of {one.closed}",
            nothing_needed=one.nothing_needed,
            wrong=one.wrong,
            cleared=one.cleared,
            since=day_long(one.since.astimezone(zone).date()),
            proposed=proposed_for_change(one, now),
            safety=one.reason in SAFETY,
        )
        for one in sorted(records, key=lambda one: (order.place(one.reason), one.reason))
    ]


def goal() -> str:
    return in_percent(GOAL)


def in_percent(share: float) -> str:
    return f"{100 * share:.0f} %"
