"""The home program on one sheet of paper, in words for its patient."""

from dataclasses import dataclass

from clinician.selectors.drawings import ThighDrawing, thigh_drawing
from clinician.selectors.words import listed, number, plural
from homeprogram.calc.texts import texts_of
from homeprogram.models import Clinic, Revision

WEEKDAYS = (
    "Monday",
    "Tuesday",
    "Wednesday",
    "Thursday",
    "Friday",
    "Saturday",
    "Sunday",
)


@dataclass(frozen=True, slots=True)
class Sheet:
    limb: str
    lines: list[tuple[str, str]]
    exercises: list[tuple[str, str]]
    thigh: ThighDrawing
    cautions: list[str]


def sheet(revision: Revision, clinic: Clinic) -> Sheet:
    limb = revision.program.episode.limb
    return Sheet(
        limb=limb.upper(),
        lines=list(_lines(revision)),
        exercises=[(one["name"], one["how"]) for one in revision.exercises],
        thigh=thigh_drawing(limb, revision.pads),
        cautions=texts_of(clinic.texts)["cautions"],
    )


def _days(revision: Revision) -> str:
    if len(revision.weekdays) == len(WEEKDAYS):
        return "every day"
    return f"on {listed([WEEKDAYS[day] for day in revision.weekdays])}"


def _lines(r: Revision):
    gap = f", at least {plural(r.minimum_gap_h, 'hour')} apart" if r.bouts_per_day > 1 else ""
    each = "" if len(r.weekdays) == len(WEEKDAYS) else "a day "
    yield "How often", f"{plural(r.bouts_per_day, 'bout')} {each}{_days(r)}{gap}"
    yield "One bout", f"{r.contractions_per_bout} times on, about {round(r.bout_min)} minutes"
    yield "Each time", f"{number(r.on_s)} seconds on, {number(r.off_s)} seconds rest"
    yield "Position", r.position
    knee = [f"bent to {number(r.knee_angle_deg)}°"] if r.knee_angle_deg is not None else []
    yield "Knee", listed([*knee, *([r.knee_range] if r.knee_range else [])])
    yield "Stimulator", r.stimulator.name
    if r.voluntary_in_off:
        yield "In the rest", "tighten the thigh by yourself"
    yield "How strong", " ".join(["Start at zero. Turn it up slowly.", *_intensity(r)])


def _intensity(r: Revision):
    unit = "mA" if r.stimulator.unit == "mA" else "on the display"
    for one in r.intensity:
        parts = [
            f"{word} {number(one[level])} {unit}"
            for level, word in (("floor", "aim for at least"), ("ceiling", "never above"))
            if one.get(level) is not None
        ]
        if parts:
            yield f"Channel {one['channel']}: {', '.join(parts)}."
