"""What this week's reviews decided, and which of it nobody has done yet."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Exists, OuterRef, Q

from clinician.models import Contact, ContactOutcome, Discharge, Outcome, Review
from clinician.selectors.review_mark import SAID
from clinician.selectors.words import moment_short
from homeprogram.calc.days import zone_or_utc
from homeprogram.models import Clinic, Pause, Revision, StrengthTest


@dataclass(frozen=True, slots=True)
class Reviewed:
    patient_id: UUID
    name: str
    outcome: str
    words: str
    when: str
    who: str
    done: bool


def reviews_since(*, clinic: Clinic, since: datetime) -> list[Reviewed]:
    """Newest first; `done` = what was decided was recorded after the review.

    A try without reaching anybody is no contact yet.
    """
    patient, at = OuterRef("patient_id"), OuterRef("reviewed_at")
    deeds = {
        Outcome.CHANGE_DOSE: Revision.objects.filter(program__patient=patient, created_at__gt=at),
        Outcome.CONTACT: Contact.objects.filter(
            patient=patient, recorded_at__gt=at, outcome=ContactOutcome.DONE
        ),
        Outcome.RETEST: StrengthTest.objects.filter(episode__patient=patient, recorded_at__gt=at),
        Outcome.PAUSE: Pause.objects.filter(program__patient=patient, created_at__gt=at),
        Outcome.END: Discharge.objects.filter(patient=patient, discharged_at__gt=at),
    }
    done = Q(outcome=Outcome.CARRY_ON)
    for outcome, rows in deeds.items():
        done |= Q(Exists(rows), outcome=outcome)
    reviews = Review.objects.filter(clinic=clinic, reviewed_at__gte=since).annotate(done=done)
    zone = zone_or_utc(clinic.zone)
    return [
        Reviewed(
            patient_id=one.patient_id,
            name=one.patient.name,
            outcome=one.outcome,
            words=SAID[one.outcome],
            when=moment_short(one.reviewed_at, zone),
            who=one.reviewed_by.name,
            done=one.done,
        )
        for one in reviews.select_related("patient", "reviewed_by").order_by("-reviewed_at")
    ]
