"""Protocol families as the desk offers them: figures, source, how sure, who disagrees."""

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import UUID

from clinician.selectors.words import number, plural
from homeprogram.calc import guidance
from homeprogram.calc.findings import source_text, span_text
from homeprogram.calc.own_family import CLINIC_MARK
from homeprogram.models import Clinic, Episode
from homeprogram.selectors.dosing import clinic_family
from homeprogram.selectors.prescribing import families_of_clinic

MARKS = {
    "read": "read in the source",
    "memory": "from memory",
    "common practice": "common practice, no source",
    "clinic": "the clinic's own",
}


@dataclass(frozen=True, slots=True)
class FamilyCard:
    code: str
    name: str
    own: bool  # the clinic's; ours are read-only files
    fits: bool
    source: str
    doi: str
    mark: str
    figures: list[tuple[str, str, str]]  # name, value, mark where it differs
    disagreements: tuple[str, ...]
    notes: str


def family_cards(*, clinic: Clinic, episode: Episode | None = None) -> list[FamilyCard]:
    """Those that fit the episode's pathway first, then the clinic's own, then ours."""
    own = [_own(clinic, row.id) for row in families_of_clinic(clinic=clinic)]
    cards = [_card(family, episode) for family in (*own, *guidance.families())]
    return sorted(cards, key=lambda card: not card.fits)


def family_offered(*, clinic: Clinic, code: str) -> guidance.Family | None:
    """Ours by code, the clinic's own by id; references are there to compare with."""
    ours = {family.code: family for family in guidance.families()}
    return ours.get(code) or clinic_family(clinic=clinic, code=code)


def _own(clinic: Clinic, key: UUID) -> guidance.Family:
    return clinic_family(clinic=clinic, code=str(key))


def _card(family: guidance.Family, episode: Episode | None) -> FamilyCard:
    return FamilyCard(
        code=family.code,
        name=family.name,
        own=family.mark == CLINIC_MARK,
        fits=episode is not None and episode.pathway in family.pathways,
        source=family.source.text,
        doi=family.source.doi or "",
        mark=MARKS[family.mark],
        figures=list(_figures(family)),
        disagreements=family.disagreements,
        notes=family.notes,
    )


def _figures(family: guidance.Family) -> Iterable[tuple[str, str, str]]:
    """A family need not state every figure."""
    for name, figure, words in _worded(family):
        if getattr(family, figure) is not None:
            mark = family.mark_of(figure)
            yield name, words, "" if mark == family.mark else MARKS[mark]


def _worded(f: guidance.Family) -> Iterable[tuple[str, str, str]]:
    yield "Frequency", "frequency_hz", f"{number(f.frequency_hz)} Hz"
    yield "Phase duration", "phase_duration_us", f"{number(f.phase_duration_us)} µs"
    yield "On : off", "on_s", f"{number(f.on_s)} s : {number(f.off_s)} s"
    yield "Ramps", "ramp_up_s", f"{number(f.ramp_up_s)} s up, {number(f.ramp_down_s)} s down"
    yield "A bout", "contractions_per_bout", f"{f.contractions_per_bout} contractions"
    yield "A bout lasts", "bout_min", f"{number(f.bout_min)} min"
    yield "Bouts a day", "bouts_per_day", f"{f.bouts_per_day}"
    yield "Days a week", "days_per_week", f"{f.days_per_week}"
    yield "Course", "weeks", plural(f.weeks or 0, "week")
    yield "Knee", "knee_angle_deg", f"{number(f.knee_angle_deg)}°"
    yield "One pad", "electrode_cm2", f"{number(f.electrode_cm2)} cm²"


FIGURE_NAMES = {
    "frequency_hz": "Frequency",
    "phase_duration_us": "Phase duration",
    "on_s": "On time",
    "off_s": "Off time",
    "work_to_rest": "Work to rest",
    "ramp_up_s": "Ramp up",
    "contractions_per_bout": "Contractions a bout",
    "contractions_per_day": "Contractions a day",
    "contractions_per_week": "Contractions a week",
    "bout_min": "A bout",
    "bouts_per_day": "Bouts a day",
    "days_per_week": "Days a week",
    "weeks": "Course",
}
# Where the form has no field of that name.
FIELD_OF = {"work_to_rest": "off_s", "days_per_week": "weekdays"}


def beside(family: guidance.Family | None) -> dict[str, str]:
    """What the family says about each figure, to stand at its field."""
    if family is None:
        return {}
    said: dict[str, str] = {}
    for one in family.ranges:
        field = FIELD_OF.get(one.figure, one.figure)
        ratio = "work to rest " if one.figure == "work_to_rest" else ""
        words = f"{ratio}{span_text(one)}"
        said[field] = f"{said[field]}; {words}" if field in said else f"Family: {words}"
    return said


@dataclass(frozen=True, slots=True)
class SaidRange:
    figure: str
    span: str
    means: str
    source: str
    mark: str


def other_ranges() -> list[SaidRange]:
    """What guidelines, reviews and common practice say, whatever the family."""
    return [
        SaidRange(
            FIGURE_NAMES[one.figure],
            span_text(one),
            one.means,
            source_text(one.source),
            MARKS[one.mark],
        )
        for one in guidance.general_ranges()
    ]
