"""What stands beside the program form: counts, findings, drawings, notes."""

from datetime import date

from clinician.forms.program import ProgramForm, void_message
from clinician.forms.program_check import Asked, asked, number_in, profile_of
from clinician.forms.program_fields import EXERCISES, TEMPO
from clinician.selectors.dose_panel import Panel, dose_panel, waiting_panel
from clinician.selectors.drawings import pattern_drawing, week_drawing
from clinician.selectors.exercise_notes import exercise_notes
from homeprogram.calc import dose
from homeprogram.calc.exercise_tempo import Tempo, tempo_message
from homeprogram.calc.first_dose import first_week
from homeprogram.calc.guidance import Family
from homeprogram.selectors.dosing import limits_of_stimulator


def beside_form(form: ProgramForm, *, family: Family | None, episode, day: date) -> dict:
    """Everything computed from the form as it stands, whether it can be saved or not."""
    question = asked(form)
    panel = _panel(form, question, family)
    drawn = {"panel": panel, "notes": _notes(form, episode, day)}
    if panel.state != "ready":
        return drawn
    request = question.request
    timing = dose.timing(**{name: request[name] for name in dose.TIMING_FIGURES})
    contractions = int(panel.counts[0].value)
    week = first_week(contractions_per_bout=contractions, bouts_per_day=request["bouts_per_day"])
    return drawn | {
        "pattern": pattern_drawing(timing),
        "week": week_drawing(
            {int(weekday) for weekday in form["weekdays"].value()},
            bouts=request["bouts_per_day"],
            contractions=contractions,
        ),
        "first_week": week,
    }


def _panel(form: ProgramForm, question: Asked, family: Family | None) -> Panel:
    if question.request is None:
        return waiting_panel(question.missing)
    profile = profile_of(form)
    return dose_panel(
        question.request,
        family=family,
        stimulator=limits_of_stimulator(profile) if profile else None,
        names=question.names,
        labels={name: str(field.label) for name, field in form.fields.items()},
        counted_only=question.counted_only,
    )


def _notes(form: ProgramForm, episode, day: date) -> list[str]:
    return [*_tempo_notes(form), *_void_notes(form), *_exercise_notes(form, episode, day)]


def _tempo_notes(form: ProgramForm) -> list[str]:
    on_s = number_in(form, "on_s")
    told = {n: [number_in(form, f"{part}_{n}") for part in TEMPO] for n in EXERCISES}
    return [
        f"Exercise {n}: {tempo_message(Tempo(*(one or 0 for one in seconds)), on_s=on_s)}"
        for n, seconds in told.items()
        if on_s and any(seconds)
    ]


def _void_notes(form: ProgramForm) -> list[str]:
    """Said as soon as it is so, not only when the form is sent."""
    if form.before is None:
        return []
    changed = set()
    if form["stimulator"].value() not in (None, "", str(form.before.stimulator_id)):
        changed.add("stimulator")
    if set(form["pads"].value() or form.before.pads) != set(form.before.pads):
        changed.add("pads")
    if form["leads_changed"].value():
        changed.add("lead")
    return [void_message(changed, form.before.number)] if changed else []


def _exercise_notes(form: ProgramForm, episode, day: date) -> list[str]:
    chosen = [
        (code, form[f"type_{n}"].value() or "")
        for n in EXERCISES
        if (code := form[f"exercise_{n}"].value())
    ]
    found = exercise_notes(
        episode=episode,
        chosen=chosen,
        knee_angle_deg=number_in(form, "knee_angle_deg"),
        day=day,
    )
    return [one.message for one in found]
