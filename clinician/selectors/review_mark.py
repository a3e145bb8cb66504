"""Up to where a patient's log was reviewed, by the log's own count."""

from dataclasses import dataclass
from uuid import UUID

from django.db.models import Subquery

from clinician.models import Outcome, Review
from homeprogram.models import Clinic, Patient

SAID = {
    Outcome.CARRY_ON: "carry on",
    Outcome.CHANGE_DOSE: "change the dose",
    Outcome.CONTACT: "contact",
    Outcome.RETEST: "re-test",
    Outcome.PAUSE: "pause",
    Outcome.END: "end",
}


@dataclass(frozen=True, slots=True)
class Mark:
    """`version` 0 = never reviewed: everything is new."""

    review: Review | None

    @property
    def version(self) -> int:
        return self.review.up_to if self.review else 0


def mark_of(*, patient: Patient) -> Mark:
    reviews = Review.objects.filter(patient=patient).select_related("reviewed_by")
    return Mark(reviews.order_by("-up_to", "-reviewed_at").first())


def mark_within(patient: Patient) -> Subquery:
    """The same number inside another question; null = never reviewed."""
    reviews = Review.objects.filter(patient=patient).order_by("-up_to")
    return Subquery(reviews.values("up_to")[:1])


def outcome_words(review: Review) -> str:
    """What was decided, and for which limb where one was named."""
    limb = f", {review.episode.limb.upper()}" if review.episode else ""
    return f"{SAID[review.outcome]}{limb}"


def review_of_clinic(*, clinic: Clinic, review_id: UUID) -> Review | None:
    reviews = Review.objects.filter(clinic=clinic, id=review_id)
    return reviews.select_related("patient", "reviewed_by", "episode").first()
