"""What the strength pages need: all tests ready to print, and what a new one starts from."""

from dataclasses import dataclass
from datetime import date

from clinician.selectors.limits import findings_for
from clinician.selectors.strength_plot import Plot, strength_plot
from clinician.selectors.strength_words import StrengthCard, strength_card
from homeprogram.calc.findings import Finding
from homeprogram.models import Episode, LimitKind, Pathway, StrengthTest
from homeprogram.selectors.prescribing import told_limits
from homeprogram.selectors.strength_tests import (
    course_start,
    last_measured,
    newest_of_limb,
    strength_tests_of_episode,
    weeks_at,
)

KEPT = ("method", "unit", "mvic_rule", "other_limb", "lever_arm_m", "body_mass_kg")


@dataclass(frozen=True, slots=True)
class StrengthPage:
    tests: list[StrengthCard]  # newest first
    plot: Plot | None


@dataclass(frozen=True, slots=True)
class CourseFacts:
    """From when a course counts; the page hands them on to its script."""

    pathway: str
    start: date
    surgery: date | None

    def at(self, on: date) -> dict:
        return {
            "pathway": self.pathway,
            "weeks_since_start": weeks_at(on, since=self.start) or 0,
            "weeks_since_surgery": weeks_at(on, since=self.surgery),
        }


def strength_page(*, episode: Episode) -> StrengthPage:
    tests = strength_tests_of_episode(episode=episode)
    plot = strength_plot(tests=tests, clinic=episode.patient.clinic)
    return StrengthPage(list(reversed(strength_cards(tests))), plot)


def strength_cards(tests: list[StrengthTest]) -> list[StrengthCard]:
    """Each against the last one before it that measured the involved limb."""
    return [strength_card(test, last_measured(tests[:n])) for n, test in enumerate(tests)]


def course_facts(*, episode: Episode) -> CourseFacts:
    return CourseFacts(episode.pathway, course_start(episode=episode), episode.surgery_on)


def from_earlier(*, episode: Episode) -> dict:
    """How this limb was tested last: only what changes has to be typed."""
    test = newest_of_limb(episode=episode)
    if test is None:
        return {}
    values = {name: _shown(test.request.get(name)) for name in KEPT}
    return values | {"preop_uninvolved": _shown(_preop(test))}


def _shown(value: object) -> object:
    """76, not 76.0: nobody typed that decimal."""
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _preop(test: StrengthTest) -> float | None:
    """A test before surgery is itself what later ones are held against."""
    if test.request["pathway"] == Pathway.PRE_OPERATIVE:
        return test.result.get("uninvolved_mvic")
    return test.request.get("preop_uninvolved")


def clearance_of(episode: Episode, today: date) -> date | None:
    """When the surgeon cleared a maximal test, if a clearance holds today."""
    cleared = [
        limit.first_day
        for limit in told_limits(episode=episode)
        if limit.kind == LimitKind.MAXIMAL_TEST and limit.holds_on(today)
    ]
    return max(cleared, default=None)


def limits_to_heed(episode: Episode, today: date) -> list[Finding]:
    """Repairs and grafts to protect while testing."""
    return findings_for(episode, [], None, today)
