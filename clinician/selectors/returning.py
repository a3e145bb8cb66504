"""What a pause says about the dose that follows it."""

from datetime import date
from uuid import UUID

from clinician.selectors import reasons
from clinician.selectors.words import listed, plural
from homeprogram.calc.days import ONE_DAY
from homeprogram.calc.return_dose import ReturnDose, days_off, usual_return
from homeprogram.models import HomeProgram, Patient, Pause
from homeprogram.selectors.record import open_flags_of_patient


def pause_asked(*, program: HomeProgram, pause_id: str) -> Pause | None:
    try:
        return Pause.objects.filter(program=program, id=UUID(pause_id)).first()
    except ValueError:
        return None


def return_dose(pause: Pause, last_day: date) -> ReturnDose:
    """As said when the pause began; what was left open is the usual for so many days off."""
    usual = usual_return(days_off(pause.first_day, max(last_day, pause.first_day)))
    return ReturnDose(
        pause.return_contractions_pct or usual.contractions_pct,
        pause.return_current_pct or usual.current_pct,
    )


def return_words(back: ReturnDose) -> str:
    said = []
    if back.contractions_pct < 100:
        said.append(f"{back.contractions_pct} % of the contractions")
    if back.current_pct < 100:
        said.append(f"{back.current_pct} % of the current")
    return listed(said) if said else "the dose as before"


def return_reason(pause: Pause, back: ReturnDose, first_day: date) -> str:
    off = plural(days_off(pause.first_day, max(first_day - ONE_DAY, pause.first_day)), "day")
    why = pause.get_reason_display().lower()
    return f"Return after a pause for {why}, {off} off: {return_words(back)}."


def review_reason(*, patient: Patient) -> str:
    """Why the dose changes at a weekly review, to be gone on with."""
    names = [reasons.name(flag.reason).lower() for flag in open_flags_of_patient(patient=patient)]
    return f"Weekly review: {listed(names)}. "[:300] if names else "Weekly review: "
