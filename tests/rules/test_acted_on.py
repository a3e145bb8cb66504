"""When a rule is proposed for a change."""

from datetime import UTC, datetime, timedelta

import pytest

from homeprogram.calc.acted_on import SPAN, RuleRecord, proposed_for_change

NOW = datetime(2030, 3, 4, tzinfo=UTC)


def counted(acted_on: int, nothing: int, wrong: int = 0, **more) -> RuleRecord:
    told = {"reason": "missed_days", "cleared": 0, "since": NOW - SPAN} | more
    return RuleRecord(acted_on=acted_on, nothing_needed=nothing, wrong=wrong, **told)


@pytest.mark.parametrize(
    ("record", "proposed"),
    [
        (counted(1, 5), True),
        (counted(1, 3, 2), True),
        (counted(1, 4), False),  # a fifth is enough
        (counted(0, 4), False),  # too few to tell
        (counted(0, 4, cleared=9), False),
        (counted(0, 9, since=NOW - SPAN + timedelta(seconds=1)), False),
        (counted(0, 9, reason="skin_reaction"), False),
        (counted(0, 9, reason="stop_report"), False),
    ],
    ids=str,
)
def test_a_rule_that_is_rarely_acted_on_is_proposed(record, proposed):
    assert proposed_for_change(record, NOW) == proposed


def test_the_share_counts_what_people_closed():
    assert counted(3, 1, cleared=6).share == 0.75
    assert counted(0, 0, cleared=6).share is None
