"""Entries of one phone that will never come: how they are written down.

A loss is a plain dict, kept on the phone's row: {"numbers": [[first, last], …],
"cleared_ms", "since", "until", "told_at"}. No numbers and a `cleared_ms` = the
phone found its whole log cleared. `since` and `until` bound the days it may be about.
"""

from collections.abc import Iterable, Sequence

LOSSES_MAX = 100  # of one phone; more would be a fault to look at, not to write down


def spans_of(numbers: Iterable[int]) -> list[list[int]]:
    """Sorted numbers as [first, last] spans: [3, 4, 5, 9] -> [[3, 5], [9, 9]]."""
    spans: list[list[int]] = []
    for number in sorted(set(numbers)):
        if spans and number == spans[-1][1] + 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    return spans


def numbers_lost(losses: Sequence[dict]) -> set[int]:
    """Every number that some loss names."""
    return {
        number
        for loss in losses
        for first, last in loss["numbers"]
        for number in range(first, last + 1)
    }


def was_told(losses: Sequence[dict], cleared_ms: int) -> bool:
    """Whether this clearing of the phone is written down already."""
    return any(loss["cleared_ms"] == cleared_ms for loss in losses)
