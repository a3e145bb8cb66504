"""What the surgeon's limits say about exercises that are being chosen."""

from collections.abc import Iterable
from datetime import date

from clinician.selectors.dose_panel import FindingLine, finding_line
from clinician.selectors.limits import findings_for
from homeprogram.calc import exercises
from homeprogram.calc.surgeon_limits import SurgeonLimit, exercise_findings
from homeprogram.models import Episode
from homeprogram.selectors.prescribing import told_limits

PROTECTED = "_protected"  # a repair to keep in mind, whatever the exercise


def exercise_notes(
    *,
    episode: Episode,
    chosen: Iterable[tuple[str, str]],
    knee_angle_deg: float | None,
    day: date,
) -> list[FindingLine]:
    """`chosen` = (code, contraction type or "" for as listed)."""
    plain = [_plain(code, kind) for code, kind in chosen if code in exercises.BY_CODE]
    found = findings_for(episode, plain, knee_angle_deg, day)
    return [finding_line(vars(one)) for one in found]


def notes_by_choice(*, episode: Episode, day: date) -> dict[str, list[str]]:
    """The same for every choice there is, so that a page can tell at once: "code:type"."""
    limits = told_limits(episode=episode)
    noted = {
        f"{code}:{kind}": _messages(code, kind, episode, limits, day)
        for code in exercises.BY_CODE
        for kind in ("", *exercises.CONTRACTION_TYPES)
    }
    return {choice: messages for choice, messages in noted.items() if messages}


def _messages(
    code: str, kind: str, episode: Episode, limits: list[SurgeonLimit], day: date
) -> list[str]:
    found = exercise_findings(
        [_plain(code, kind)], knee_angle_deg=None, pathway=episode.pathway, limits=limits, day=day
    )
    return [one.message for one in found if not one.code.endswith(PROTECTED)]


def _plain(code: str, kind: str) -> dict:
    return exercises.for_phone(code, "", kind) | {"standing": exercises.is_standing(code)}
