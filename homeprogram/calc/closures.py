"""Days on which the whole clinic is closed, as its phones are told them."""

from collections.abc import Iterable, Mapping
from datetime import date


def is_closed(closed_days: Iterable[Mapping[str, str]], day: date) -> bool:
    """`day` = the clinic's own. As static/patient/model/closed.js reads them."""
    return any(one["first_day"] <= day.isoformat() <= one["last_day"] for one in closed_days)
