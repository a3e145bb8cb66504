"""A dose after a pause, as the start of a new revision."""

from datetime import date

from clinician.forms.program_values import from_pause
from clinician.selectors.returning import pause_asked, return_dose, return_reason
from homeprogram.calc.days import ONE_DAY


def returning_values(program, newest, asked: dict, tomorrow: date) -> dict:
    """`?return=` names a pause of this program."""
    pause = pause_asked(program=program, pause_id=asked.get("return", ""))
    if pause is None:
        return {}
    first_day = max(tomorrow, pause.last_day + ONE_DAY) if pause.last_day else tomorrow
    back = return_dose(pause, first_day - ONE_DAY)
    return from_pause(newest, back) | {
        "first_day": first_day,
        "reason": return_reason(pause, back, first_day),
        "bout_min": None,
    }
