"""How often a flag of a rule led to something. Pure.

The goal: of the alerts of weekly symptom reports, 59 % were acted on in a published
program (Mazza 2024, Qual Life Res, doi 10.1007/s11136-024-03675-3; read in abstract).
The floor, its weeks and the least number are common practice, no source.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from homeprogram.calc.flags import SAFETY

GOAL = 0.59
FLOOR = 0.20
WEEKS = 8
SPAN = timedelta(weeks=WEEKS)
FEWEST = 5  # closings; fewer prove nothing


@dataclass(frozen=True, slots=True)
class RuleRecord:
    """What came of one rule's flags in the last eight weeks, as those say who closed them."""

    reason: str
    acted_on: int
    nothing_needed: int
    wrong: int
    cleared: int
    since: datetime  # the first ending on record, of any time

    @property
    def closed(self) -> int:
        return self.acted_on + self.nothing_needed + self.wrong

    @property
    def share(self) -> float | None:
        return self.acted_on / self.closed if self.closed else None


def proposed_for_change(record: RuleRecord, now: datetime) -> bool:
    """Rarely acted on for eight weeks; a rule about safety is never proposed."""
    return (
        record.reason not in SAFETY
        and record.closed >= FEWEST
        and now - record.since >= SPAN
        and record.acted_on < FLOOR * record.closed
    )
