"""All that may happen: the modules below add theirs when they are read."""

from tests.simulation import clinicians, mishaps, people
from tests.simulation.acting import ACTIONS

__all__ = ["ACTIONS", "clinicians", "mishaps", "people"]
