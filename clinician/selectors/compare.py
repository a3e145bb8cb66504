"""Two revisions side by side: every line of both, and which of them differ."""

from dataclasses import dataclass

from clinician.selectors.dose_panel import COUNTS, CURRENTS, lines, other_bout_min
from clinician.selectors.dose_words import dose_lines
from clinician.selectors.words import day_long
from homeprogram.calc.dose import TIMING_FIGURES
from homeprogram.calc.dose_check import dose_check
from homeprogram.calc.dose_errors import ImpossibleDose
from homeprogram.models import Revision

COURSE_WEEKS = 6  # where the revision does not say
FIGURES = ("frequency_hz", "phase_duration_us", "bouts_per_day", "electrode_cm2", *TIMING_FIGURES)
PLAIN = ("monophasic", "symmetric_biphasic")


@dataclass(frozen=True, slots=True)
class Pair:
    name: str
    old: str
    new: str

    @property
    def differs(self) -> bool:
        return self.old != self.new


@dataclass(frozen=True, slots=True)
class Comparison:
    old: Revision
    new: Revision
    dose: list[Pair]
    counts: list[Pair]

    @property
    def changes(self) -> list[Pair]:
        return [pair for pair in (*self.dose, *self.counts) if pair.differs]


def comparison(old: Revision, new: Revision) -> Comparison:
    return Comparison(
        old, new, _pairs(_told(old), _told(new)), _pairs(_counted(old), _counted(new))
    )


def _pairs(old: dict[str, str], new: dict[str, str]) -> list[Pair]:
    names = [*new, *(name for name in old if name not in new)]
    return [Pair(name, old.get(name, ""), new.get(name, "")) for name in names]


def _told(revision: Revision) -> dict[str, str]:
    told = {"First day": day_long(revision.first_day), "Stimulator": revision.stimulator.name}
    told |= dict(dose_lines(revision))
    for number, one in enumerate(revision.exercises, start=1):
        told[f"Exercise {number}"] = f"{one['name']} ({one['contraction_type']}). {one['how']}"
    return told


def _counted(revision: Revision) -> dict[str, str]:
    """Both dose checks' figures; empty where a revision cannot be counted."""
    request = dose_request(revision)
    try:
        reply = dose_check(request)
    except ImpossibleDose:
        return {}
    reply |= {"other_bout_min": other_bout_min(request, reply)}
    if revision.waveform not in PLAIN:
        reply |= dict.fromkeys(name for name, *_ in CURRENTS)
    return {
        one.label: f"{one.value} {one.unit}".strip()
        for one in (*lines(COUNTS, reply), *lines(CURRENTS, reply))
    }


def dose_request(revision: Revision) -> dict:
    """What a revision would ask of the dose check, at its highest level in mA."""
    told = [
        value
        for one in revision.intensity
        for level, value in one.items()
        if level in ("start", "floor", "ceiling") and value is not None
    ]
    in_ma = revision.stimulator.unit == "mA"
    plain = revision.waveform in PLAIN
    return {name: getattr(revision, name) for name in FIGURES} | {
        "waveform": revision.waveform if plain else "symmetric_biphasic",
        "intensity_ma": max(told, default=None) if in_ma else None,
        "contractions": revision.contractions_per_bout,
        "days_per_week": len(revision.weekdays),
        "weeks": (revision.details or {}).get("weeks") or COURSE_WEEKS,
    }
