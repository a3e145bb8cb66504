"""All that may happen: the modules below add theirs when they are read."""

from tests.simulation import clinicians, mishaps, people
from tests.simulation.acting import ACTIONS, ONLY_IN_FOCUS

__all__ = ["ACTIONS", "ONLY_IN_FOCUS", "clinicians", "mishaps", "people"]
