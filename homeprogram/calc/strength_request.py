"""From the figures of a strength test to limbs and indices, or a refusal."""

from dataclasses import dataclass
from math import isfinite

from homeprogram.calc import slips, strength
from homeprogram.calc.dose_errors import ImpossibleStrength, Slip

PATHWAYS = ("pre_operative", "post_operative", "conservative")
OTHER_LIMBS = ("sound", "operated", "arthritic", "detrained")
EVOKED_OF = ("involved", "uninvolved", "preop")

# No knee extends with more: world-class athletes stay below 6 Nm/kg and 500 Nm.
POSSIBLE_NM_PER_KG = 8.0
POSSIBLE_NM = 800.0
POSSIBLE_N = 3000.0
# What a knee after injury shows; a repaired unit must land here.
USUAL_NM_PER_KG = (0.2, 4.5)
USUAL_NM = (15.0, 350.0)
USUAL_N = (40.0, 1000.0)
MASSES = ("lever_arm_m", "body_mass_kg")


@dataclass(frozen=True)
class StrengthTest:
    """MVICs in the unit of the request; what was not measured is None."""

    involved: float | None
    uninvolved: float | None
    preop: float | None
    evoked: float | None
    unit: str
    lever_arm_m: float | None
    body_mass_kg: float | None

    @property
    def reference_of_evoked(self) -> dict[str, float | None]:
        return {
            "involved": self.involved,
            "uninvolved": self.uninvolved,
            "preop": self.preop,
        }

    def nm(self, value: float | None, unit: str | None = None) -> float | None:
        """Torque of one of its values, in its own unit or read in another. [Nm]"""
        if value is None:
            return None
        return strength.torque_nm(value, unit or self.unit, lever_arm_m=self.lever_arm_m)

    def nm_per_kg(self, value: float | None, unit: str | None = None) -> float | None:
        torque = self.nm(value, unit)
        if torque is None or self.body_mass_kg is None:
            return None
        return strength.per_kg(torque, body_mass_kg=self.body_mass_kg)


def read_strength(request: dict) -> StrengthTest:
    """The test a request describes.

    Raises ImpossibleStrength where a figure cannot be, with the likely value.
    """
    _check_choices(request)
    _check_values(request)
    rule = request.get("mvic_rule", "best")
    test = StrengthTest(
        involved=strength.mvic(request.get("involved") or [], rule=rule),
        uninvolved=strength.mvic(request.get("uninvolved") or [], rule=rule),
        preop=request.get("preop_uninvolved"),
        evoked=request.get("evoked"),
        unit=request["unit"],
        lever_arm_m=request.get("lever_arm_m"),
        body_mass_kg=request.get("body_mass_kg"),
    )
    _check_possible(test)
    return test


def _refuse(code: str, fields: dict[str, str], *found: Slip) -> ImpossibleStrength:
    return ImpossibleStrength(" ".join(fields.values()), code=code, fields=fields, slips=found)


def _check_choices(request: dict) -> None:
    choices = {
        "unit": strength.UNITS,
        "mvic_rule": strength.RULES,
        "pathway": PATHWAYS,
        "other_limb": OTHER_LIMBS,
        "evoked_of": (*EVOKED_OF, None),
    }
    defaults = {"mvic_rule": "best"}
    for name, allowed in choices.items():
        if request.get(name, defaults.get(name)) not in allowed:
            known = ", ".join(option for option in allowed if option)
            raise _refuse("choice_unknown", {name: f"One of {known}."})


def _check_values(request: dict) -> None:
    fields, found = {}, []
    for name in (n for n in MASSES if request.get(n) is not None):
        if not (isfinite(request[name]) and slips.in_bounds(name, request[name])):
            fields[name], slip = slips.refusal(name, request[name])
            found += [slip] if slip else []
    for name in ("involved", "uninvolved", "preop_uninvolved", "evoked"):
        if not all(isfinite(v) and v > 0 for v in _values(request.get(name))):
            fields[name] = "A strength is above zero."
    if fields:
        raise _refuse("unit_slip" if found else "out_of_bounds", fields, *found)


def _values(value: list | float | None) -> list[float]:
    if value is None:
        return []
    return value if isinstance(value, list | tuple) else [value]


def _check_possible(test: StrengthTest) -> None:
    named = {
        "involved": test.involved,
        "uninvolved": test.uninvolved,
        "preop_uninvolved": test.preop,
        "evoked": test.evoked,
    }
    fields = {
        name: f"{value:g} {test.unit} is more than a knee can do."
        for name, value in named.items()
        if value is not None and not _possible(test, value)
    }
    if not fields:
        return
    found = [_unit_slip(test, name, named[name]) for name in fields]
    found = [slip for slip in found if slip]
    raise _refuse("unit_slip" if found else "strength_impossible", fields, *found)


def _possible(test: StrengthTest, value: float) -> bool:
    torque, relative = test.nm(value), test.nm_per_kg(value)
    if torque is None:
        return strength.to_si(value, test.unit) <= POSSIBLE_N
    if torque > POSSIBLE_NM:
        return False
    return relative is None or relative <= POSSIBLE_NM_PER_KG


def _unit_slip(test: StrengthTest, name: str, value: float) -> Slip | None:
    """The same figure read in another unit of its kind, given in the chosen one."""
    for unit in likely_units(test, value):
        likely = strength.to_si(value, unit) / strength.to_si(1, test.unit)
        return Slip(name, value, float(f"{likely:.4g}"), test.unit)
    return None


def likely_units(test: StrengthTest, value: float) -> list[str]:
    """Other units of the same kind in which the figure would be an ordinary one."""
    torque = strength.is_torque(test.unit)
    kind = strength.TORQUE_UNITS if torque else strength.FORCE_UNITS
    units = [unit for unit in kind if unit != test.unit and _usual(test, value, unit)]
    # The nearer unit first: a pound for a kilogram is the commoner slip.
    return sorted(units, key=lambda unit: _ratio(unit, test.unit))


def _usual(test: StrengthTest, value: float, unit: str) -> bool:
    torque, relative = test.nm(value, unit), test.nm_per_kg(value, unit)
    if relative is not None:
        low, high, size = *USUAL_NM_PER_KG, relative
    elif torque is not None:
        low, high, size = *USUAL_NM, torque
    else:
        low, high, size = *USUAL_N, strength.to_si(value, unit)
    return low <= size <= high


def unusual_unit(test: StrengthTest) -> str | None:
    """Another unit that would make an extraordinary test ordinary; None if none.

    Catches pounds entered as kilograms, and the other way round.
    """
    value = test.involved or test.uninvolved
    if value is None or _usual(test, value, test.unit):
        return None
    others = likely_units(test, value)
    return others[0] if others else None


def _ratio(unit: str, other: str) -> float:
    ratio = strength.to_si(1, unit) / strength.to_si(1, other)
    return max(ratio, 1 / ratio)
