"""The shape of the current over time: ramps, plateau and rest, to scale."""

from homeprogram.calc.dose import ROUNDING, Timing, cycle_s, plateau_s

Point = tuple[float, float]  # seconds from the start, share of the full intensity


def pattern(timing: Timing, *, cycles: int = 2) -> list[Point]:
    """Corners of the drawn line; empty when the ramps do not fit the on time."""
    plateau = plateau_s(timing)
    if plateau < -ROUNDING:
        return []
    length = cycle_s(timing)
    points: list[Point] = []
    for number in range(cycles):
        start = number * length
        full = start + timing.ramp_up_s
        falls = full + plateau
        points += [(start, 0), (full, 1), (falls, 1), (falls + timing.ramp_down_s, 0)]
    return [*points, (cycles * length, 0)]
