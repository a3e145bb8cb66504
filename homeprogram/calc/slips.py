"""Slips of unit: a value outside all reason that a known factor brings back.

Milliseconds for microseconds, microamperes for milliamperes, minutes for
seconds. The bounds are far wider than any clinical range: they say what no
quadriceps program can be, not what is wise.
"""

from dataclasses import dataclass

from homeprogram.calc.dose_errors import Slip


@dataclass(frozen=True)
class Bounds:
    """What a field can be at all, what it usually is, and the slips that happen.

    factors  (factor that repairs the slip, what happened) in order of likelihood
    """

    unit: str
    low: float
    high: float
    usual_low: float
    usual_high: float
    factors: tuple[tuple[float, str], ...]
    zero_ok: bool = False
    hint: str = ""


TIMES_1000 = 1000.0
BY_1000 = 1 / 1000
PHASE = Bounds(
    "µs", 10, 10_000, 50, 1500,
    ((TIMES_1000, "milliseconds typed for microseconds"),
     (BY_1000, "milliseconds given where microseconds are meant")),
)  # fmt: skip
SECONDS = (
    (60.0, "minutes typed for seconds"),
    (BY_1000, "milliseconds typed for seconds"),
)
BOUNDS = {
    "intensity_ma": Bounds(
        "mA", 1, 1000, 1, 200,
        ((TIMES_1000, "microamperes given where milliamperes are meant"),
         (BY_1000, "microamperes typed for milliamperes")),
    ),
    "second_phase_ma": Bounds(
        "mA", 0.1, 1000, 0.1, 200,
        ((TIMES_1000, "microamperes given where milliamperes are meant"),
         (BY_1000, "microamperes typed for milliamperes")),
    ),
    "phase_duration_us": PHASE,
    "pulse_duration_us": Bounds("µs", 20, 20_000, 100, 3000, PHASE.factors),
    "second_phase_duration_us": Bounds("µs", 10, 20_000, 50, 5000, PHASE.factors),
    "interphase_us": Bounds("µs", 1, 10_000, 1, 1000, PHASE.factors, zero_ok=True),
    "frequency_hz": Bounds(
        "Hz", 1, 1000, 5, 150, ((TIMES_1000, "kilohertz typed for hertz"),),
        hint=" A carrier frequency belongs to the waveform burst_ac.",
    ),
    "bursts_per_s": Bounds(
        "Hz", 1, 1000, 5, 150, ((TIMES_1000, "kilohertz typed for hertz"),)
    ),
    "carrier_hz": Bounds(
        "Hz", 200, 20_000, 1000, 10_000, ((TIMES_1000, "kilohertz typed for hertz"),)
    ),
    "burst_ms": Bounds(
        "ms", 0.2, 1000, 1, 20,
        ((TIMES_1000, "seconds typed for milliseconds"),
         (BY_1000, "microseconds typed for milliseconds")),
    ),
    "on_s": Bounds("s", 0.5, 120, 2, 60, SECONDS),
    "off_s": Bounds("s", 1, 600, 2, 180, SECONDS, zero_ok=True),
    "ramp_up_s": Bounds("s", 0.01, 20, 0.1, 10, SECONDS[1:], zero_ok=True),
    "ramp_down_s": Bounds("s", 0.01, 20, 0.1, 10, SECONDS[1:], zero_ok=True),
    "bout_min": Bounds(
        "min", 1, 240, 5, 120,
        ((60.0, "hours typed for minutes"), (1 / 60, "seconds typed for minutes")),
    ),
    "warmup_min": Bounds(
        "min", 0.05, 60, 1, 15, ((1 / 60, "seconds typed for minutes"),), zero_ok=True
    ),
    "recovery_min": Bounds(
        "min", 0.05, 60, 1, 15, ((1 / 60, "seconds typed for minutes"),), zero_ok=True
    ),
    "contractions": Bounds("contractions", 1, 2000, 5, 200, ()),
    "bouts_per_day": Bounds("bouts", 1, 12, 1, 6, ()),
    "days_per_week": Bounds("days", 1, 7, 1, 7, ()),
    "weeks": Bounds("weeks", 1, 104, 2, 52, ((1 / 7, "days typed for weeks"),)),
    "electrode_cm2": Bounds(
        "cm²", 1, 600, 5, 300,
        ((1 / 100, "square millimetres typed for square centimetres"),
         (10_000.0, "square metres typed for square centimetres")),
    ),
    "lever_arm_m": Bounds(
        "m", 0.05, 0.8, 0.15, 0.6,
        ((1 / 100, "centimetres typed for metres"),
         (BY_1000, "millimetres typed for metres")),
    ),
    "body_mass_kg": Bounds(
        "kg", 10, 400, 30, 200, ((BY_1000, "grams typed for kilograms"),)
    ),
}  # fmt: skip


def in_bounds(field: str, value: float) -> bool:
    """False when no program or test can have this value in this field."""
    bounds = BOUNDS[field]
    if value == 0:
        return bounds.zero_ok
    return bounds.low <= value <= bounds.high


def likely_slip(field: str, value: float) -> tuple[Slip, str] | None:
    """The slip that explains a value, and its name; None when none does."""
    bounds = BOUNDS[field]
    for factor, name in bounds.factors:
        # 0.1667 min was meant as 10 s, not as 10.002 s.
        likely = float(f"{value * factor:.4g}")
        if bounds.usual_low <= likely <= bounds.usual_high:
            return Slip(field, value, likely, bounds.unit), name
    return None


def doubt(field: str, value: float) -> tuple[Slip, str] | None:
    """A value that can be but hardly ever is, and the slip that would explain it."""
    bounds = BOUNDS[field]
    usual = bounds.usual_low <= value <= bounds.usual_high
    return None if usual or not in_bounds(field, value) else likely_slip(field, value)


def refusal(field: str, value: float) -> tuple[str, Slip | None]:
    """A sentence on an impossible value, and the slip behind it if there is one."""
    bounds = BOUNDS[field]
    found = likely_slip(field, value)
    sentence = (
        f"{value:g} {bounds.unit} cannot be: between {bounds.low:g} and"
        f" {bounds.high:g} {bounds.unit} is possible."
    )
    if found is None:
        return sentence + bounds.hint, None
    slip, name = found
    return f"{sentence} Likely {slip.likely:g} {slip.unit} ({name}).", slip
