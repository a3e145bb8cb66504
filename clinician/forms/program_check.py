"""From what stands in the form right now to a question for the dose check."""

from dataclasses import dataclass, field
from math import isfinite

from clinician.forms.program import ProgramForm, area_of
from clinician.forms.program_fields import CHANNELS, LEVELS

COURSE_WEEKS = 6  # where nobody says how long
FIGURES = (
    "frequency_hz",
    "phase_duration_us",
    "on_s",
    "off_s",
    "ramp_up_s",
    "ramp_down_s",
)
# A waveform of which the form must know one figure more.
MORE = {"burst_ac": "burst_ms", "asymmetric_biphasic": "second_phase_duration_us"}


@dataclass(frozen=True, slots=True)
class Asked:
    """`request` is None while something is missing; `names` maps its figures to our fields."""

    request: dict | None
    missing: list[str] = field(default_factory=list)
    counted_only: bool = False
    names: dict[str, str] = field(default_factory=dict)


def asked(form: ProgramForm) -> Asked:
    """Read leniently: a form that cannot be saved yet can still be counted."""
    values = {name: number_in(form, name) for name in FIGURES}
    values["bouts_per_day"] = _whole(form, "bouts_per_day")
    values["electrode_cm2"] = _area(form)
    length = _length(form)
    missing = [str(form.fields[name].label) for name, value in values.items() if value is None]
    days = len(form["weekdays"].value() or [])
    missing += [] if length else ["Contractions a bout"]
    missing += [] if days else ["Days of the week"]
    if missing:
        return Asked(None, missing)
    current, level = _current(form)
    request = (
        values
        | length
        | _waveform(form, values)
        | {
            "intensity_ma": current,
            "ramps_inside_on": form["ramps_inside_on"].value() != "no",
            "days_per_week": days,
            "weeks": _whole(form, "weeks") or COURSE_WEEKS,
            "family": form["family"].value() or None,
        }
    )
    return Asked(
        request,
        counted_only=_counted_only(form),
        names={"intensity_ma": level, "contractions": "contractions_per_bout"},
    )


def _counted_only(form: ProgramForm) -> bool:
    more = MORE.get(form["waveform"].value())
    return more is not None and number_in(form, more) is None


def _waveform(form: ProgramForm, values: dict) -> dict:
    """With the figure that this waveform needs, or as one that can at least be counted."""
    waveform = form["waveform"].value()
    more = MORE.get(waveform)
    if more is None:
        return {"waveform": waveform}
    if (known := number_in(form, more)) is None:
        return {"waveform": "symmetric_biphasic"}
    if waveform == "burst_ac":
        return {
            "waveform": waveform,
            "burst_ms": known,
            "carrier_hz": 1e6 / (2 * values["phase_duration_us"]),
        }
    return {"waveform": waveform, more: known}


def _length(form: ProgramForm) -> dict:
    """Contractions win where both are given, as when the form is saved."""
    contractions = _whole(form, "contractions_per_bout")
    if contractions is not None:
        return {"contractions": contractions}
    minutes = number_in(form, "bout_min")
    return {} if minutes is None else {"bout_min": minutes}


def _area(form: ProgramForm) -> float | None:
    names = ("pad_width_cm", "pad_height_cm", "pad_diameter_cm")
    said = {name: number_in(form, name) for name in names} | {
        "pad_shape": form["pad_shape"].value()
    }
    counted = area_of(said)
    return number_in(form, "electrode_cm2") if counted is None else counted


def _current(form: ProgramForm) -> tuple[float | None, str]:
    """The highest level stands for the current, where the stimulator shows mA; and its field."""
    told = [
        (value, name)
        for channel in CHANNELS
        for name in (f"{level}_{channel}" for level in LEVELS)
        if (value := number_in(form, name)) is not None
    ]
    profile = profile_of(form)
    highest, name = max(told, default=(None, "start_1"))
    in_ma = profile is None or profile.unit == "mA"
    return (highest if in_ma else None), name


def profile_of(form: ProgramForm):
    """The stimulator chosen; None while nothing is."""
    return form.stimulators.get(str(form["stimulator"].value()))


def number_in(form: ProgramForm, name: str) -> float | None:
    try:
        value = float(form[name].value())
    except (TypeError, ValueError):
        return None
    return value if isfinite(value) else None


def _whole(form: ProgramForm, name: str) -> int | None:
    value = number_in(form, name)
    return int(value) if value is not None and value.is_integer() else None
