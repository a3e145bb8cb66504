"""The last weeks judged anew by other thresholds: read only, three questions for any number.

Once a day over the record as it reads now: what came late counts for its day, and a
day that the phone answered for since is no longer unknown.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from homeprogram.calc.days import ONE_DAY
from homeprogram.calc.flag_facts import Card, Facts
from homeprogram.calc.flag_replay import openings
from homeprogram.calc.flags import judged
from homeprogram.calc.limits import FlagRules
from homeprogram.models import Entry, Flag, FlagEvent, Patient
from homeprogram.selectors.facts import facts_of
from homeprogram.selectors.log import entries_received_by_patient
from homeprogram.selectors.pads import pads_read
from homeprogram.selectors.plans import Context, contexts

REPLAY_DAYS = 28
RulesOf = Callable[[Patient], FlagRules]


def flags_replayed(
    *, patients: Sequence[Patient], by: Sequence[RulesOf], now: datetime
) -> list[Counter[str]]:
    """For each of `by`, how many cards would have opened in the last 28 days, by reason."""
    days = REPLAY_DAYS + max((rules(p).window_days for rules in by for p in patients), default=0)
    entries = entries_received_by_patient(
        patients=[one.id for one in patients], since=now - timedelta(days=days)
    )
    pads = pads_read(patients=[one.id for one in patients], now=now, earlier_sets=True)
    totals = [Counter() for _ in by]
    for context in contexts(patients=patients, now=now, days_back=days, judging=True):
        told, context.pads = entries[context.patient.id], pads
        looks = _looks(context, told, [rules(context.patient) for rules in by])
        for total, seen in zip(totals, zip(*looks, strict=True), strict=True):
            total.update(openings(seen))
    return totals


def openings_kept(*, patients: Sequence[Patient], reason: str, now: datetime) -> int:
    """How often a card of this reason came up in these days, as the record has it.

    By the card for the newest time, by what was done about it for those before.
    """
    since = now - REPLAY_DAYS * ONE_DAY
    mine = {"patient__in": patients, "reason": reason, "opened_at__range": (since, now)}
    cards = Flag.objects.filter(**mine).values_list("id", "opened_at").order_by()
    deeds = FlagEvent.objects.filter(**mine).values_list("flag_id", "opened_at").order_by()
    return cards.union(deeds).count()


def _looks(
    context: Context, entries: Sequence[Entry], several: Sequence[FlagRules]
) -> Iterator[list[Sequence[Card]]]:
    """Day by day the cards that each set of rules would have called for."""
    for ago in range(REPLAY_DAYS, -1, -1):
        then = as_of(context, context.now - ago * ONE_DAY)
        facts: dict[int, Facts] = {}  # they depend on how far back the rules look alone
        for rules in several:
            if rules.window_days not in facts:
                facts[rules.window_days] = _facts(then, entries, rules)
        yield [judged(facts[rules.window_days], rules).cards for rules in several]


def as_of(context: Context, moment: datetime) -> Context:
    """What was not there yet is left out: tests and revisions to come."""
    then = replace(context, now=moment, held=[])
    then.tests = [test for test in context.tests if test.recorded_at <= moment]
    then.revisions = {
        key: [one for one in several if one.first_day <= then.today]
        for key, several in context.revisions.items()
    }
    for episode in context.episodes:
        then.revisions.setdefault(str(episode.id), [])
    return then


def _facts(context: Context, entries: Sequence[Entry], rules: FlagRules) -> Facts:
    since = context.now - timedelta(days=rules.window_days)
    return facts_of(context, [e for e in entries if since <= e.received_at <= context.now], rules)
