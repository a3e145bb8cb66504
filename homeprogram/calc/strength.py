"""Strength of the knee extensors: from trials to indices.

A test is one of two things: a force at a lever arm, or a torque. Indices that
divide two tests need no unit; Nm/kg does.
"""

from math import sqrt

# Exact by definition: standard gravity and the avoirdupois pound.
NEWTON_PER_KGF = 9.80665
NEWTON_PER_LBF = 4.4482216152605
NM_PER_FTLBF = NEWTON_PER_LBF * 0.3048

FORCE_UNITS = {"N": 1.0, "kgf": NEWTON_PER_KGF, "lbf": NEWTON_PER_LBF}
TORQUE_UNITS = {"Nm": 1.0, "ftlbf": NM_PER_FTLBF}
UNITS = (*FORCE_UNITS, *TORQUE_UNITS)
RULES = ("best", "mean")

Z_95 = 1.96


def is_torque(unit: str) -> bool:
    return unit in TORQUE_UNITS


def to_si(value: float, unit: str) -> float:
    """A force in newtons or a torque in newton metres. [N or Nm]"""
    return value * (FORCE_UNITS | TORQUE_UNITS)[unit]


def torque_nm(value: float, unit: str, *, lever_arm_m: float | None) -> float | None:
    """Torque = force x lever arm; None for a force without a lever arm. [Nm]

    Husted et al. 2018, Trials, doi 10.1186/s13063-017-2366-9, reports Nm/kg
    from lever arm and body mass.
    """
    if is_torque(unit):
        return to_si(value, unit)
    return None if lever_arm_m is None else to_si(value, unit) * lever_arm_m


def mvic(trials: list[float], *, rule: str = "best") -> float | None:
    """Maximal voluntary isometric contraction of one limb; None without trials.

    best  the highest trial (Husted 2018: 5 trials of about 5 s)
    mean  the mean of all trials (used where three trials of 5 s were done)
    """
    if not trials:
        return None
    return max(trials) if rule == "best" else sum(trials) / len(trials)


def trial_spread_pct(trials: list[float]) -> float | None:
    """How far the second-best trial is below the best, None with fewer than two. [%]

    Karatzanos et al. 2012, a grip test: two efforts within 5 %, take the larger.
    """
    if len(trials) < 2:
        return None
    best, second = sorted(trials, reverse=True)[:2]
    return 100 * (best - second) / best


def per_kg(torque: float, *, body_mass_kg: float) -> float:
    """Torque by body mass. [Nm/kg]"""
    return torque / body_mass_kg


def index_pct(involved: float, reference: float) -> float:
    """Involved limb against a reference limb. [%]

    LSI: the other limb, same day. EPIC: the other limb before surgery
    (Wellsandt et al. 2017, J Orthop Sports Phys Ther).
    """
    return 100 * involved / reference


def evoked_pct(evoked: float, *, mvic_named: float) -> float:
    """Force of the current alone, against a named MVIC. [%]

    Name the MVIC: after surgery the involved limb's own falls by half or more,
    and the same evoked force looks twice as good.
    """
    return 100 * evoked / mvic_named


def central_activation_ratio(mvic_alone: float, *, burst_adds: float) -> float:
    """MVIC / (MVIC + what a burst adds on top); 1 is full activation. [1]

    Curvilinear in effort (Stackhouse et al. 2000, Muscle & Nerve 23:1706): do
    not scale it. Full strength and full activation are not the same thing.
    """
    return mvic_alone / (mvic_alone + burst_adds)


def sem_from_icc(*, sd: float, icc: float) -> float:
    """Standard error of measurement, SD sqrt(1 - ICC). [unit of sd]"""
    return sd * sqrt(1 - icc)


def mdc_from_sem(sem: float) -> float:
    """Smallest change beyond error, 1.96 sqrt(2) SEM (95 %). [unit of sem]

    An electromechanical dynamometer paper prints SEM 3.1 % with 8.6 %.
    """
    return Z_95 * sqrt(2) * sem


def sem_from_mdc(mdc: float) -> float:
    """The inverse. [unit of mdc]"""
    return mdc / (Z_95 * sqrt(2))


def error_of_one(value: float, *, mdc_pct: float) -> float:
    """95 % error of one test, plus or minus, 1.96 SEM. [unit of value]

    A change of two tests errs sqrt(2) times as much, and that is the MDC.
    """
    return value * mdc_pct / 100 / sqrt(2)


def error_of_index(value: float, *, mdc_pct: float) -> float:
    """95 % error of one test divided by another, plus or minus. [unit of value]"""
    return value * mdc_pct / 100


def within_error(change_pct: float, *, mdc_pct: float) -> bool:
    """True when a change may be measurement error alone."""
    return abs(change_pct) <= mdc_pct


def borderline(value: float, *, threshold: float, error_pct: float) -> bool:
    """True when measurement error alone could put the value across the threshold.

    For an index of two limbs tested alike the 95 % error is again
    1.96 sqrt(2) SEM: each limb brings its own.
    """
    return abs(value - threshold) <= error_of_index(value, mdc_pct=error_pct)
