"""What this week's reviews decided, and which of it nobody has done yet."""

from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.db.models.lookups import IsNull

from clinician.models import Contact, ContactOutcome, Discharge, Outcome, Review
from clinician.selectors.review_mark import outcome_words
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
    """Newest first; `done` = what was decided was recorded after the review, for its limb.

    A try without reaching anybody is no contact yet.
    """
    patient, at = OuterRef("patient_id"), OuterRef("reviewed_at")

    def of_limb(rows: QuerySet, limb: str) -> QuerySet:
        """`limb` leads to the episode; a review that names none takes either limb's."""
        said = OuterRef("episode_id")
        return rows.filter(Q(**{limb: said}) | IsNull(said, True))  # noqa: FBT003  its only way

    deeds = {
        Outcome.CHANGE_DOSE: of_limb(
            Revision.objects.filter(program__patient=patient, created_at__gt=at),
            "program__episode",
        ),
        Outcome.CONTACT: Contact.objects.filter(
            patient=patient, recorded_at__gt=at, outcome=ContactOutcome.DONE
        ),
        Outcome.RETEST: of_limb(
            StrengthTest.objects.filter(episode__patient=patient, recorded_at__gt=at), "episode"
        ),
        Outcome.PAUSE: of_limb(
            Pause.objects.filter(program__patient=patient, created_at__gt=at), "program__episode"
        ),
        Outcome.END: of_limb(
            Discharge.objects.filter(patient=patient, discharged_at__gt=at), "episode"
        ),
    }
    done = Q(outcome=Outcome.CARRY_ON)
    for outcome, rows in deeds.items():
        done |= Q(Exists(rows), outcome=outcome)
    reviews = Review.objects.filter(clinic=clinic, reviewed_at__gte=since).annotate(done=done)
    zone = zone_or_utc(clinic.zone)
    newest_first = reviews.select_related("patient", "reviewed_by", "episode")
    return [
        Reviewed(
            patient_id=one.patient_id,
            name=one.patient.name,
            outcome=one.outcome,
            words=outcome_words(one),
            when=moment_short(one.reviewed_at, zone),
            who=one.reviewed_by.name,
            done=one.done,
        )
        for one in newest_first.order_by("-reviewed_at")
    ]
