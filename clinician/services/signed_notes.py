"""Sign a note, add to one. Nothing here changes what was signed before."""

from dataclasses import asdict
from datetime import date, datetime, timedelta

from django.db import transaction

from clinician.models import Addendum, SignedNote
from clinician.selectors.note_draft import Drawn
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.limits import NOTE_LATE_AFTER_DAYS
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, DecisionKind, Episode, Patient
from homeprogram.services.changes import patient_lock
from homeprogram.services.decisions import decision_keep

# What two notes have in common when one was sent twice; `drawn` holds when its page was drawn.
SAME = ("signed_by_id", "episode_id", "about_on", "drawn")
SAME += ("subjective", "objective", "assessment", "plan")


@transaction.atomic
def note_sign(
    *,
    patient: Patient,
    by: Clinician,
    about_on: date,
    assessment: str,
    plan: str,
    now: datetime,
    drawn: Drawn,
    subjective: str = "",
    objective: str = "",
    episode: Episode | None = None,
) -> SignedNote:
    """`drawn` = what the machine had put into the objective part, kept beside it.

    Sent twice it is one note.
    """
    patient = patient_lock(patient_id=patient.id)
    today = local_day(now, zone_or_utc(by.clinic.zone))
    if about_on > today:
        message = "A note cannot be about a day to come."
        raise RuleBroken(message, code="note_day_to_come", fields={"about_on": message})
    note = SignedNote(
        patient=patient,
        episode=episode,
        about_on=about_on,
        late=today - about_on > timedelta(days=NOTE_LATE_AFTER_DAYS),
        subjective=subjective.strip(),
        objective=objective.strip(),
        assessment=assessment.strip(),
        plan=plan.strip(),
        drawn=asdict(drawn),
        **_signature(by, now),
    )
    newest = SignedNote.objects.filter(patient=patient).order_by("-signed_at").first()
    if newest and all(getattr(newest, name) == getattr(note, name) for name in SAME):
        return newest
    note.full_clean(exclude=["drawn"])
    note.save(force_insert=True)
    decision_keep(
        patient=patient,
        by=by,
        kind=DecisionKind.NOTE,
        words=note.plan,
        now=now,
        episode=episode,
        about=note.id,
    )
    return note


@transaction.atomic
def addendum_sign(*, note: SignedNote, by: Clinician, text: str, now: datetime) -> Addendum:
    addendum = Addendum(note=note, text=text.strip(), **_signature(by, now))
    addendum.full_clean()
    addendum.save(force_insert=True)
    decision_keep(
        patient=note.patient,
        by=by,
        kind=DecisionKind.ADDENDUM,
        words=addendum.text,
        now=now,
        episode=note.episode,
        about=note.id,
    )
    return addendum


def _signature(by: Clinician, now: datetime) -> dict:
    return {
        "clinic": by.clinic,
        "signed_by": by,
        "signer_name": by.name,
        "signer_role": by.role,
        "signed_at": now,
        "zone": by.clinic.zone,
    }
