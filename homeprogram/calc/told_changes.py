"""What a patient says has changed, and which of it stops the bouts at once.

A screening holds for the body it was taken of. Each of these asks for another;
pregnancy and an implant are contraindications that nobody has judged yet, so no
bout until somebody has (common practice, no source).
"""

from collections.abc import Iterable

CHANGED = ("medicine", "illness", "operation", "pregnancy", "implant")
STOPS_BOUTS = frozenset({"pregnancy", "implant"})


def stops_bouts(changed: Iterable[str]) -> bool:
    return not STOPS_BOUTS.isdisjoint(changed)
