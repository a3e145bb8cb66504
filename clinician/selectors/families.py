"""Protocol families as the desk offers them: figures, source, how sure, who disagrees."""

from collections.abc import Iterable
from dataclasses import dataclass

from clinician.selectors.words import number, plural
from homeprogram.calc import guidance
from homeprogram.models import Episode

MARKS = {
    "read": "read in the source",
    "memory": "from memory",
    "common practice": "common practice, no source",
}


@dataclass(frozen=True, slots=True)
class FamilyCard:
    code: str
    name: str
    fits: bool
    source: str
    doi: str
    mark: str
    figures: list[tuple[str, str, str]]  # name, value, mark where it differs
    disagreements: tuple[str, ...]
    notes: str


def family_cards(episode: Episode) -> list[FamilyCard]:
    """Those that fit the pathway first; the order of the guidance otherwise."""
    cards = [_card(family, episode) for family in guidance.families()]
    return sorted(cards, key=lambda card: not card.fits)


def _card(family: guidance.Family, episode: Episode) -> FamilyCard:
    return FamilyCard(
        code=family.code,
        name=family.name,
        fits=episode.pathway in family.pathways,
        source=family.source.text,
        doi=family.source.doi or "",
        mark=MARKS[family.mark],
        figures=list(_figures(family)),
        disagreements=family.disagreements,
        notes=family.notes,
    )


def _figures(family: guidance.Family) -> Iterable[tuple[str, str, str]]:
    f = family
    length = (
        plural(f.contractions_per_bout, "contraction")
        if f.contractions_per_bout
        else f"{number(f.bout_min)} min"
    )
    rows = (
        ("Frequency", f"{number(f.frequency_hz)} Hz", "frequency_hz"),
        ("Phase duration", f"{number(f.phase_duration_us)} µs", "phase_duration_us"),
        ("On : off", f"{number(f.on_s)} s : {number(f.off_s)} s", "on_s"),
        ("Ramps", f"{number(f.ramp_up_s)} s up, {number(f.ramp_down_s)} s down", "ramp_up_s"),
        ("A bout", length, "contractions_per_bout" if f.contractions_per_bout else "bout_min"),
        (
            "How often",
            f"{plural(f.bouts_per_day, 'bout')} a day, {plural(f.days_per_week, 'day')} a week",
            "days_per_week",
        ),
        ("Course", plural(f.weeks, "week"), "weeks"),
        ("Knee", f"{number(f.knee_angle_deg)}°", "knee_angle_deg"),
        ("One pad", f"{number(f.electrode_cm2)} cm²", "electrode_cm2"),
    )
    for name, value, figure in rows:
        mark = family.mark_of(figure)
        yield name, value, "" if mark == family.mark else MARKS[mark]
