"""Between the program form and a dose: prefill, and read back."""

from datetime import date

from clinician.forms.program import CHANNELS, EXERCISES, LEVELS, ProgramForm, timing_of
from homeprogram.calc import dose, exercises
from homeprogram.calc.guidance import Family
from homeprogram.calc.schedule import default_weekdays
from homeprogram.services.programs import Dose

PLAIN = (
    "bouts_per_day",
    "contractions_per_bout",
    "bout_min",
    "waveform",
    "frequency_hz",
    "phase_duration_us",
    "on_s",
    "off_s",
    "ramp_up_s",
    "ramp_down_s",
    "ramps_inside_on",
    "electrode_cm2",
    "position",
    "knee_angle_deg",
)
ALSO = ("knee_range", "voluntary_in_off", "minimum_gap_h", "family")
USUAL = {
    "pads": ["upper_outer", "lower_inner"],
    "minimum_gap_h": 3,
    "ramps_inside_on": "yes",
    "waveform": "symmetric_biphasic",
}


def from_scratch(first_day: date) -> dict:
    return USUAL | {"first_day": first_day}


def from_family(family: Family, first_day: date) -> dict:
    """The family's own figures; its missing length is counted, never its intensity."""
    values = {name: getattr(family, name) for name in PLAIN}
    values["ramps_inside_on"] = "yes" if family.ramps_inside_on else "no"
    return (
        USUAL
        | values
        | {
            "first_day": first_day,
            "family": family.code,
            "weekdays": [str(weekday) for weekday in default_weekdays(family.days_per_week)],
            "reason": f"First dose, from the family: {family.name}",
        }
    )


def from_revision(revision, first_day: date) -> dict:
    """The revision in force, so that only what changes is typed."""
    values = {name: _shown(getattr(revision, name)) for name in PLAIN + ALSO}
    values |= {
        "ramps_inside_on": "yes" if revision.ramps_inside_on else "no",
        "first_day": first_day,
        "weekdays": [str(weekday) for weekday in revision.weekdays],
        "pads": revision.pads,
        "stimulator": str(revision.stimulator_id),
    }
    for one in revision.intensity:
        values |= {f"{level}_{one['channel']}": _shown(one.get(level)) for level in LEVELS}
    for number, one in enumerate(revision.exercises, start=1):
        known = exercises.BY_CODE.get(one["code"])
        values[f"exercise_{number}"] = one["code"]
        values[f"how_{number}"] = "" if known and known.how == one["how"] else one["how"]
    return values


def _shown(value: object) -> object:
    """15, not 15.0: nobody set that decimal."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def dose_of(form: ProgramForm) -> Dose:
    said = form.cleaned_data
    plain = {name: said[name] for name in PLAIN + ALSO}
    return Dose(
        weekdays=tuple(int(weekday) for weekday in said["weekdays"]),
        pads=tuple(said["pads"]),
        intensity=tuple(_intensity(said)),
        exercises=tuple(filter(None, map(form.exercise_of, EXERCISES))),
        **plain,
    )


def _intensity(said: dict):
    for channel in CHANNELS:
        told = {level: said[f"{level}_{channel}"] for level in LEVELS}
        if any(value is not None for value in told.values()):
            yield {"channel": channel, **told}


def check_request(form: ProgramForm, weeks: int) -> dict:
    """What the dose check wants to know; the highest ceiling or floor stands for the current."""
    said = form.cleaned_data
    profile = form.stimulators[said["stimulator"]]
    told = [v for c in CHANNELS for level in LEVELS if (v := said[f"{level}_{c}"]) is not None]
    names = (
        "waveform",
        "frequency_hz",
        "phase_duration_us",
        "on_s",
        "off_s",
        "ramp_up_s",
        "ramp_down_s",
        "ramps_inside_on",
        "bouts_per_day",
        "electrode_cm2",
    )
    return {name: said[name] for name in names} | {
        "contractions": said["contractions_per_bout"],
        "intensity_ma": max(told, default=None) if profile.unit == "mA" else None,
        "days_per_week": len(said["weekdays"]),
        "weeks": weeks,
        "family": said["family"] or None,
    }


def counts(form: ProgramForm) -> dict:
    """Contractions and minutes that this revision asks for."""
    said = form.cleaned_data
    bouts, days = said["bouts_per_day"], len(said["weekdays"])
    per_bout = said["contractions_per_bout"]
    stimulated = dose.stimulated_min(timing_of(said), contractions=per_bout)
    return {
        "per_bout": per_bout,
        "per_day": per_bout * bouts,
        "per_week": per_bout * bouts * days,
        "bouts_per_week": bouts * days,
        "bout_min": said["bout_min"],
        "stimulated_min": stimulated,
    }
