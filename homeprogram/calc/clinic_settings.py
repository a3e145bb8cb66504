"""What a lead sets for the clinic besides texts and thresholds. Common practice, no source.

How long a record is kept is for local law; eight years is what one national health
service asks for adults (from memory).
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields
from datetime import time

from homeprogram.calc.limits import QUIET_FROM_HOUR, QUIET_UNTIL_HOUR


@dataclass(frozen=True, slots=True)
class ClinicSettings:
    """Times are the clock on the wall; reminders count the quiet ones in the patient's zone."""

    quiet_from: time = time(QUIET_FROM_HOUR)
    quiet_until: time = time(QUIET_UNTIL_HOUR)
    duty_from: time = time(8)
    duty_until: time = time(18)
    unseen_h: int = 4  # [h] of duty before an unseen safety flag goes on to the next
    adherence_bar_pct: int = 80  # [%] of due bouts that the clinic calls as agreed
    retention_years: int = 8  # after discharge
    photos: bool = False  # of the skin, from patients who agreed to them
    photo_days: int = 90  # that a photo is kept

    @classmethod
    def of_clinic(cls, edited: Mapping[str, object]) -> "ClinicSettings":
        """What the clinic set over the defaults; raises ValueError for what makes no sense."""
        if unknown := set(edited) - {one.name for one in fields(cls)}:
            raise ValueError(f"No such setting: {', '.join(sorted(unknown))}.")
        settings = cls(**{name: _read(name, value) for name, value in edited.items()})
        if settings.duty_from >= settings.duty_until:
            raise ValueError("duty_until must be later than duty_from.")
        if settings.quiet_from == settings.quiet_until:
            raise ValueError("Quiet hours that begin and end at one time are a whole day.")
        return settings


SETTING_BOUNDS = {
    "unseen_h": (1, 24),
    "adherence_bar_pct": (50, 100),
    "retention_years": (1, 40),
    "photo_days": (7, 365),
}


def _read(name: str, value: object) -> object:
    if name == "photos":
        if not isinstance(value, bool):
            raise ValueError("photos must be true or false.")
        return value
    if name not in SETTING_BOUNDS:
        return time.fromisoformat(str(value))
    low, high = SETTING_BOUNDS[name]
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise ValueError(f"{name} must be from {low} to {high}.")
    return value
