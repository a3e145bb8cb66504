"""The weekly reviews the demo's clinicians made on the Mondays before this week."""

from datetime import datetime, time

from clinician.demo.case import Case
from clinician.demo.diary import Diary
from clinician.selectors.note_draft import note_draft
from clinician.selectors.review_page import review_page
from clinician.services.reviews import review_finish
from clinician.services.signed_notes import addendum_sign, note_sign
from homeprogram.calc.days import local_day

MONDAY_REVIEW = time(8, 40)
WRITTEN_UP = time(8, 46)
ADDED = time(17, 5)
# What was thought and planned, by story; the others were carried on with.
NOTES = {
    "over_use": (
        "Enthusiastic; more than asked.",
        "Told that rest days count. Look at the log again in a week.",
    ),
    "near_end": (
        "Strength comes back within the usual; calm skin and knee.",
        "Carry on. Test again in two weeks; the course may be reviewed then.",
    ),
    "stops_for_pain": (
        "Knee pain keeps him from single bouts.",
        "Asked to log pain each morning. Call if swelling stays.",
    ),
}
ADDENDA = {"near_end": "He starts on the stationary bicycle this week, cleared by the surgeon."}


def reviews_add(diary: Diary, key: str, weekday_today: int) -> None:
    """Each Monday of the course but this week's; the last one is written up."""
    mondays = [day for day in range(-weekday_today - 7, min(diary.days), -7) if day in diary.days]
    for offset in mondays:
        diary.day(offset).then(MONDAY_REVIEW, _review)
    if mondays and key in NOTES:
        diary.day(mondays[0]).then(WRITTEN_UP, lambda case, at: _write_up(case, key, at))


def _review(case: Case, at: datetime) -> None:
    page = review_page(patient=case.patient_now(), now=at)
    review_finish(
        patient=case.patient,
        by=case.by,
        outcome="carry_on",
        up_to=page.up_to,
        after=page.mark.review.id if page.mark.review else None,
        shown=page.shown,
        now=at,
    )


def _write_up(case: Case, key: str, at: datetime) -> None:
    assessment, plan = NOTES[key]
    fresh = note_draft(patient=case.patient_now(), now=at)
    limb = case.member.cares[0].limb
    note = note_sign(
        patient=case.patient,
        by=case.by,
        about_on=local_day(at, case.zone),
        subjective=fresh.subjective,
        objective=fresh.drawn.objective,
        assessment=assessment,
        plan=plan,
        drawn=fresh.drawn,
        episode=case.revisions[limb].program.episode,
        now=at,
    )
    if key in ADDENDA:
        later = at.replace(hour=ADDED.hour, minute=ADDED.minute)
        addendum_sign(note=note, by=case.by, text=ADDENDA[key], now=later)
