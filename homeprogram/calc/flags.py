"""Facts of one patient -> the flags that should stand. Pure; common practice, no source.

Each rule says what it looked at (`basis`) and how new its newest fact is
(`fact_at`): a card that somebody closed opens again only on a newer fact. What
no rule can see: bouts done but never logged, and a log that is not true.
"""

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, time
from zoneinfo import ZoneInfo

from homeprogram.calc.days import local_day
from homeprogram.calc.flag_bouts import discomfort_worse, knee_pain_worse, over_ceiling, over_use
from homeprogram.calc.flag_course import course_review_due, strength_test_due
from homeprogram.calc.flag_days import missed_days, no_contact, under_dose
from homeprogram.calc.flag_dose import (
    dose_review_due,
    intensity_below_effective,
    stimulator_at_limit,
)
from homeprogram.calc.flag_facts import Card, Facts
from homeprogram.calc.flag_reports import (
    contact_wanted,
    held_entry,
    lost_entries,
    pads_due,
    skin_reaction,
    something_changed,
    stop_report,
)
from homeprogram.calc.limits import FlagRules

RULE_VERSION = 3  # a set of pads is counted over its whole life
SAFETY = frozenset({"skin_reaction", "stop_report", "something_changed"})
# A wish to be called grows no smaller with age: somebody has to answer it.
# What is lost stays lost, a stop report perhaps among it: somebody has to ask.
UNTIL_CLOSED = SAFETY | {"contact_wanted", "lost_entries"}
RULE_FAILED = "rule_failed"

# Judged for each limb.
LIMB_RULES: Mapping[str, Callable] = {
    "missed_days": missed_days,
    "under_dose": under_dose,
    "skin_reaction": lambda limb, facts, rules: skin_reaction(limb.episode_id, facts.skin, rules),
    "pads_due": pads_due,
    "knee_pain_worse": knee_pain_worse,
    "discomfort_worse": discomfort_worse,
    "over_ceiling": over_ceiling,
    "over_use": over_use,
    "intensity_below_effective": intensity_below_effective,
    "dose_review_due": dose_review_due,
    "stimulator_at_limit": stimulator_at_limit,
    "strength_test_due": strength_test_due,
    "course_review_due": lambda limb, facts, _: course_review_due(limb, facts),
}
# Judged once for the patient.
PATIENT_RULES: Mapping[str, Callable] = {
    "stop_report": lambda facts, _: stop_report(facts.stop_reports),
    "something_changed": lambda facts, _: something_changed(facts.changes),
    "contact_wanted": contact_wanted,
    "no_contact": no_contact,
    "held_entry": lambda facts, _: held_entry(facts.held),
    "lost_entries": lost_entries,
}
# What time alone can raise. The others need an entry or a decision for it; with time
# they can only go, or not even that.
OF_TIME = frozenset(
    {
        "missed_days",
        "under_dose",
        "no_contact",
        "held_entry",
        "lost_entries",
        "strength_test_due",
        "course_review_due",
    }
)
# What time alone takes from nobody: worn pads stay worn.
NOT_OF_TIME = UNTIL_CLOSED | {"pads_due"}
# The panel's order: safety first, then what nobody could judge, then a wish for
# contact, then the rest; what can wait for a weekly review comes late.
REASONS = (
    "stop_report",
    "skin_reaction",
    "something_changed",
    RULE_FAILED,
    "contact_wanted",
    "knee_pain_worse",
    "discomfort_worse",
    "over_ceiling",
    "over_use",
    "missed_days",
    "under_dose",
    "intensity_below_effective",
    "pads_due",
    "lost_entries",
    "held_entry",
    "no_contact",
    "stimulator_at_limit",
    "dose_review_due",
    "strength_test_due",
    "course_review_due",
)


@dataclass(frozen=True, slots=True)
class Judged:
    """The cards that should stand, and the reasons that no card can be trusted about."""

    cards: list[Card]
    failed: Mapping[str, Exception]


def wanted_cards(facts: Facts, rules: FlagRules) -> list[Card]:
    """Every card the facts call for, one per limb and reason."""
    return judged(facts, rules).cards


def judged(facts: Facts, rules: FlagRules, only: Collection[str] = REASONS) -> Judged:
    """One rule that breaks stops no other: the patient then needs a look."""
    cards: list[Card] = []
    failed: dict[str, Exception] = {}
    for reason, judge in _judges(facts, rules):
        if reason not in only:
            continue
        try:
            cards += judge()
        except Exception as error:  # noqa: BLE001  a card says so, and the caller logs it
            failed[reason] = error
    if failed:
        cards.append(rule_failed(facts.now, facts.zone, list(failed)))
    return Judged(cards, failed)


def _judges(facts: Facts, rules: FlagRules) -> Iterator[tuple[str, Callable[[], list[Card]]]]:
    for limb in facts.episodes:
        for reason, rule in LIMB_RULES.items():
            yield reason, lambda rule=rule, limb=limb: list(rule(limb, facts, rules))
    for reason, rule in PATIENT_RULES.items():
        yield reason, lambda rule=rule: list(rule(facts, rules))


def rule_failed(now: datetime, zone: ZoneInfo, reasons: list[str]) -> Card:
    """A rule could not be worked out; a rule that stays broken is news once a day."""
    today = datetime.combine(local_day(now, zone), time(), tzinfo=zone)
    basis = {"what": sorted(reasons), "rule": "any rule that could not be worked out"}
    return Card(RULE_FAILED, None, today, basis)
