"""A rule that breaks stops no other, and the patient needs a look."""

from datetime import UTC, datetime, timedelta

import pytest

from homeprogram.calc import flags
from tests.rules.build import DEFAULTS, facts
from tests.rules.test_flag_order import everything


@pytest.fixture
def broken(monkeypatch):
    """Break one rule; generators fail late, so this one does too."""

    def broke(reason: str) -> None:
        def rule(*_):
            raise ZeroDivisionError("told in confidence")
            yield

        table = flags.LIMB_RULES if reason in flags.LIMB_RULES else flags.PATIENT_RULES
        monkeypatch.setitem(table, reason, rule)

    return broke


@pytest.mark.parametrize("reason", [*flags.LIMB_RULES, *flags.PATIENT_RULES])
def test_every_other_card_stands_and_one_asks_for_a_look(broken, reason):
    before = {c.key for c in flags.wanted_cards(everything(), DEFAULTS) if c.reason != reason}
    broken(reason)

    found = flags.judged(everything(), DEFAULTS)

    assert {card.key for card in found.cards} == before | {(None, "rule_failed")}
    assert list(found.failed) == [reason]


def test_the_card_names_the_rules_and_nothing_of_the_record(broken):
    broken("under_dose")

    card = flags.judged(everything(), DEFAULTS).cards[-1]

    assert card.basis == {
        "what": ["under_dose"],
        "rule": "any rule that could not be worked out",
    }


def test_a_rule_that_stays_broken_is_news_once_a_day(broken):
    broken("held_entry")
    morning = datetime(2030, 3, 14, 7, tzinfo=UTC)

    moments = [
        flags.wanted_cards(facts(now=morning + timedelta(hours=h)), DEFAULTS)[-1].fact_at
        for h in (0, 9, 20)
    ]

    assert moments[0] == moments[1] < moments[2]
    assert moments[0] <= morning
