"""Between the program form and a dose: prefill, and read back."""

from datetime import date

from clinician.forms.program import ProgramForm, intensity_of
from clinician.forms.program_fields import EXERCISES, LEVELS, TEMPO
from homeprogram.calc import dose, exercises
from homeprogram.calc.exercise_tempo import Tempo, tempo_sentence
from homeprogram.calc.guidance import Family
from homeprogram.calc.return_dose import ReturnDose, fewer_contractions, lower_current
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
# Kept with the revision for the desk, though no rule reads them.
DETAILS = (
    "weeks",
    "pad_shape",
    "pad_width_cm",
    "pad_height_cm",
    "pad_diameter_cm",
    "second_phase_duration_us",
    "burst_ms",
    "observed",
    "evoked_pct",
    "leads_changed",
    "found_anew",
)
ONCE = ("leads_changed", "found_anew")  # said about one change, not about the next
USUAL = {
    "pads": ["upper_outer", "lower_inner"],
    "minimum_gap_h": 3,
    "ramps_inside_on": "yes",
    "waveform": "symmetric_biphasic",
    "pad_shape": "rectangle",
}


def from_scratch(first_day: date) -> dict:
    return USUAL | {"first_day": first_day}


def from_family(family: Family, first_day: date) -> dict:
    """The family's own figures; its missing length is counted, never its intensity."""
    values = {name: _shown(getattr(family, name)) for name in PLAIN}
    values["ramps_inside_on"] = "no" if family.ramps_inside_on is False else "yes"
    return (
        USUAL
        | values
        | {
            "first_day": first_day,
            "family": family.code,
            "pad_shape": "area",
            "weeks": family.weeks,
            "weekdays": _weekdays(family),
            "reason": f"First dose, from the family: {family.name}",
        }
    )


def _weekdays(family: Family) -> list[str]:
    days = default_weekdays(family.days_per_week) if family.days_per_week else ()
    return [str(weekday) for weekday in days]


def from_revision(revision, first_day: date) -> dict:
    """The revision in force, so that only what changes is typed."""
    details = revision.details or {}
    values = {name: _shown(getattr(revision, name)) for name in PLAIN + ALSO}
    values |= {name: details.get(name) for name in DETAILS if name not in ONCE}
    values |= {
        "pad_shape": details.get("pad_shape") or "area",
        # Counted minutes would be wrong as soon as the contractions change.
        "bout_min": None if _counted(revision) else _shown(revision.bout_min),
        "ramps_inside_on": "yes" if revision.ramps_inside_on else "no",
        "first_day": first_day,
        "weekdays": [str(weekday) for weekday in revision.weekdays],
        "pads": revision.pads,
        "stimulator": str(revision.stimulator_id),
    }
    for one in revision.intensity:
        values |= {f"{level}_{one['channel']}": _shown(one.get(level)) for level in LEVELS}
    for number, one in enumerate(revision.exercises, start=1):
        values |= _exercise_values(number, one, (details.get("tempos") or {}).get(one["code"]))
    return values


def from_pause(revision, back: ReturnDose) -> dict:
    """The dose before the pause, brought down as was said."""
    lowered = lower_current(revision.intensity, back)
    values = {
        f"{level}_{one['channel']}": _shown(one.get(level)) for one in lowered for level in LEVELS
    }
    count = fewer_contractions(revision.contractions_per_bout, back)
    return values | {"contractions_per_bout": count}


def from_bout(bout) -> dict:
    """Start, floor and ceiling as a supervised bout found them, with what they were found on."""
    levels = {
        f"{level}_{one['channel']}": _shown(one[level])
        for one in bout.intensity
        for level in LEVELS
    }
    return levels | {"stimulator": str(bout.stimulator_id)}


def _exercise_values(number: int, one: dict, seconds: list | None) -> dict:
    """Words that are ours stay empty; the sentence on the tempo is made anew."""
    known, how = exercises.BY_CODE.get(one["code"]), one["how"]
    values = {f"exercise_{number}": one["code"]}
    if seconds:
        how = how.removesuffix(f" {tempo_sentence(Tempo(*seconds))}")
        values |= {f"{part}_{number}": _shown(s) for part, s in zip(TEMPO, seconds, strict=True)}
    if known and known.contraction_type != one["contraction_type"]:
        values[f"type_{number}"] = one["contraction_type"]
    return values | {f"how_{number}": "" if known and known.how == how else how}


def _counted(revision) -> bool:
    timing = dose.timing(**{name: getattr(revision, name) for name in dose.TIMING_FIGURES})
    counted = dose.bout_minutes(timing, contractions=revision.contractions_per_bout)
    return abs(counted - revision.bout_min) < 0.01


def from_typed(data: dict[str, list[str]]) -> dict:
    """A form as somebody left it, to go on with: nothing is judged yet."""
    many = {"weekdays", "pads"}
    return {name: values if name in many else values[-1] for name, values in data.items() if values}


def _shown(value: object) -> object:
    """15, not 15.0: nobody set that decimal."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def dose_of(form: ProgramForm, *, family: Family | None) -> Dose:
    said = form.cleaned_data
    plain = {name: said[name] for name in PLAIN + ALSO}
    return Dose(
        weekdays=tuple(int(weekday) for weekday in said["weekdays"]),
        pads=tuple(said["pads"]),
        intensity=tuple(intensity_of(said)),
        exercises=tuple(filter(None, map(form.exercise_of, EXERCISES))),
        details=_details(form) | ({"family_name": family.name} if family else {}),
        **plain,
    )


def _details(form: ProgramForm) -> dict:
    """Only what was said."""
    said = form.cleaned_data
    tempos = {
        said[f"exercise_{n}"]: [tempo.lift_s, tempo.hold_s, tempo.lower_s]
        for n in EXERCISES
        if said[f"exercise_{n}"] and (tempo := form.tempo_of(n))
    }
    told = {name: said[name] for name in DETAILS if said[name] not in (None, "", False)}
    return told | ({"tempos": tempos} if tempos else {})


def counts(form: ProgramForm) -> dict:
    """Contractions and minutes that this revision asks for."""
    said = form.cleaned_data
    bouts, days = said["bouts_per_day"], len(said["weekdays"])
    per_bout = said["contractions_per_bout"]
    return {
        "per_bout": per_bout,
        "per_day": per_bout * bouts,
        "per_week": per_bout * bouts * days,
    }
