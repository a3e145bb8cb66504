"""What a day is called. Absence is judged only behind the watermark."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from homeprogram.calc.days import closes_at
from homeprogram.calc.schedule import DueDay


class DayStatus(StrEnum):
    DONE = "done"
    PARTLY_DONE = "partly_done"
    NOT_DONE = "not_done"  # the patient said so
    STILL_OPEN = "still_open"
    MISSED = "missed"
    NOT_KNOWN_YET = "not_known_yet"
    PAUSED = "paused"
    NOT_DUE = "not_due"


@dataclass(frozen=True, slots=True)
class DayCounts:
    """What has been logged for one episode's day."""

    bouts_done: int = 0
    bouts_partial: int = 0
    contractions: int = 0
    minutes: float = 0
    at_floor: int = 0
    not_done: int = 0
    excused: bool = False


NOTHING_LOGGED = DayCounts()


def day_status(
    *,
    day: date,
    due: DueDay,
    logged: DayCounts,
    watermark: datetime | None,
    now: datetime,
    zone: ZoneInfo,
    gap: bool = False,
) -> DayStatus:
    """First that applies: paused, not due, done, partly done, not done, still open, missed.

    `watermark` is the moment up to which every active phone held nothing unsent;
    `gap` says that something of that day may still be unheard: a number that
    never came, a held entry, a phone that is gone. It may be the bout.
    """
    if due.paused or (logged.excused and not logged.bouts_done):
        return DayStatus.PAUSED
    if due.due == 0:
        return DayStatus.NOT_DUE
    if logged.bouts_done >= due.due:
        return DayStatus.DONE
    if logged.bouts_done or logged.bouts_partial:
        return DayStatus.PARTLY_DONE
    if logged.not_done:
        return DayStatus.NOT_DONE
    closing = closes_at(day, zone)
    if now < closing:
        return DayStatus.STILL_OPEN
    known = watermark is not None and watermark >= closing and not gap
    return DayStatus.MISSED if known else DayStatus.NOT_KNOWN_YET
