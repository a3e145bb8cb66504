"""A revision's dose in words, every figure with its unit."""

from clinician.selectors.words import WEEKDAYS, listed, number, plural
from homeprogram.models import Revision

LEVELS = ("start", "floor", "ceiling")


def dose_lines(revision: Revision) -> list[tuple[str, str]]:
    lines = [
        ("Days", _days(revision)),
        ("Bouts", _bouts(revision)),
        ("A bout", _bout(revision)),
        ("Contractions", _contractions(revision)),
        ("On : off", _timing(revision)),
        ("Current", _current(revision)),
        ("Intensity", intensity_words(revision)),
        ("Knee", _knee(revision)),
        ("Position", revision.position),
        ("Pads", _pads(revision)),
    ]
    if revision.voluntary_in_off:
        lines.append(("In the rest", "the patient tightens the thigh"))
    return lines


def dose_in_short(r: Revision) -> str:
    """What is asked, in one line."""
    days = plural(len(r.weekdays), "day")
    bouts = f"{plural(r.bouts_per_day, 'bout')} a day on {days} a week"
    timing = f"{number(r.on_s)} s on, {number(r.off_s)} s off, {number(r.frequency_hz)} Hz"
    return f"{bouts}, {plural(r.contractions_per_bout, 'contraction')} each, {timing}"


def _weekly(revision: Revision) -> int:
    return revision.bouts_per_day * len(revision.weekdays)


def _days(r: Revision) -> str:
    every = len(r.weekdays) == len(WEEKDAYS)
    return "every day" if every else listed([WEEKDAYS[day] for day in r.weekdays])


def _bouts(r: Revision) -> str:
    apart = f", at least {number(r.minimum_gap_h)} h apart" if r.bouts_per_day > 1 else ""
    return f"{r.bouts_per_day} a day{apart}; {_weekly(r)} a week"


def _bout(r: Revision) -> str:
    return f"{r.contractions_per_bout} contractions in {number(r.bout_min)} min"


def _contractions(r: Revision) -> str:
    a_day = r.contractions_per_bout * r.bouts_per_day
    return f"{a_day} a day, {r.contractions_per_bout * _weekly(r)} a week"


def _timing(r: Revision) -> str:
    where = "inside" if r.ramps_inside_on else "outside"
    ramps = f"ramps {number(r.ramp_up_s)} s up, {number(r.ramp_down_s)} s down"
    return f"{number(r.on_s)} s : {number(r.off_s)} s, {ramps}, {where} the on time"


def _current(r: Revision) -> str:
    phase = f"phase {number(r.phase_duration_us)} µs"
    return f"{r.get_waveform_display()}, {number(r.frequency_hz)} Hz, {phase}"


def intensity_words(revision: Revision) -> str:
    """Every channel with its start, floor and ceiling, in the stimulator's unit."""
    unit = revision.stimulator.unit
    told = [_channel(one, unit) for one in revision.intensity]
    return "; ".join(told) or "not measured yet"


def _channel(one: dict, unit: str) -> str:
    parts = [f"{k} {number(one[k])} {unit}" for k in LEVELS if one.get(k) is not None]
    return f"channel {one['channel']}: {', '.join(parts) or 'not measured yet'}"


def _knee(revision: Revision) -> str:
    angle = revision.knee_angle_deg
    parts = [] if angle is None else [f"{number(angle)}°"]
    if revision.knee_range:
        parts.append(f"range {revision.knee_range}")
    return listed(parts)


def _pads(revision: Revision) -> str:
    places = [pad.replace("_", " ") for pad in revision.pads]
    return f"{listed(places)}; {number(revision.electrode_cm2)} cm² each"
