"""Up to where a patient's log was reviewed, by the log's own count."""

from dataclasses import dataclass

from clinician.models import Review
from homeprogram.models import Patient


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


def reviews_of(*, patient: Patient) -> list[Review]:
    """Newest first."""
    reviews = Review.objects.filter(patient=patient).select_related("reviewed_by")
    return list(reviews.order_by("-reviewed_at"))
