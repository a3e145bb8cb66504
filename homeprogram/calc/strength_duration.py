"""Strength-duration laws, for teaching only.

They show why a shorter pulse needs more current. They do not predict a
patient's current: published chronaxies vary widely with pulse shape and
source (Geddes 2004, IEEE Trans Biomed Eng, doi 10.1109/TBME.2003.820340), and
none was found for the quadriceps through the skin. Weiss fits human nerve
accurately (Mogyoros, Kiernan & Burke 1996, Brain 119:439-447).
"""

from dataclasses import dataclass
from math import exp, log

# Mean motor value of 20 people, surface threshold tracking in the upper limb:
# Mogyoros, Kiernan & Burke 1996; standard deviation 126 us.
TEACHING_CHRONAXIE_US = 459.0


@dataclass(frozen=True)
class StrengthDuration:
    """Rheobase [mA], the current a very long pulse needs, and chronaxie [us],
    the pulse length that needs twice as much."""

    rheobase_ma: float
    chronaxie_us: float


def weiss_ma(law: StrengthDuration, *, phase_us: float) -> float:
    """Threshold current, I = b (1 + c / d). [mA]"""
    return law.rheobase_ma * (1 + law.chronaxie_us / phase_us)


def weiss_charge_uc(law: StrengthDuration, *, phase_us: float) -> float:
    """Threshold charge, Q = b (d + c). [uC]"""
    return law.rheobase_ma * (phase_us + law.chronaxie_us) / 1000


def lapicque_tau_us(chronaxie_us: float) -> float:
    """Time constant of the exponential law, tau = c / ln 2. [us]"""
    return chronaxie_us / log(2)


def lapicque_ma(law: StrengthDuration, *, phase_us: float) -> float:
    """Threshold current, I = b / (1 - exp(-d / tau)). [mA]"""
    return law.rheobase_ma / (1 - exp(-phase_us / lapicque_tau_us(law.chronaxie_us)))


def fit_two_points(
    *, short_us: float, short_ma: float, long_us: float, long_ma: float
) -> StrengthDuration:
    """Weiss's law through two measured thresholds.

    Charge is a straight line in duration: slope b, intercept b c. Valid when
    the longer pulse needs less current but more charge; anything else is not
    this law, and refused.
    """
    short_uc, long_uc = short_us * short_ma, long_us * long_ma
    if not (short_us < long_us and short_ma > long_ma and short_uc < long_uc):
        raise ValueError(
            f"not a strength-duration pair: {short_ma} mA at {short_us} us,"
            f" {long_ma} mA at {long_us} us"
        )
    rheobase = (long_uc - short_uc) / (long_us - short_us)
    return StrengthDuration(rheobase, short_uc / rheobase - short_us)


def equal_charge_ma(*, ma: float, from_us: float, to_us: float) -> float:
    """Current that carries the same charge in another phase duration. [mA]"""
    return ma * from_us / to_us


def equal_threshold_ma(
    *,
    ma: float,
    from_us: float,
    to_us: float,
    chronaxie_us: float = TEACHING_CHRONAXIE_US,
) -> float:
    """Current equally far above Weiss's threshold at another duration. [mA]

    The rheobase cancels: I' = I (1 + c / d') / (1 + c / d).
    """
    return ma * (1 + chronaxie_us / to_us) / (1 + chronaxie_us / from_us)
