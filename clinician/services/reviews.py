"""Finish a patient's weekly review: up to exactly what the page showed."""

from datetime import datetime
from uuid import UUID

from django.db import transaction

from clinician.models import Outcome, Review
from clinician.selectors.review_mark import mark_of, outcome_words
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, DecisionKind, Episode, Patient
from homeprogram.services.changes import patient_lock
from homeprogram.services.decisions import decision_keep


@transaction.atomic
def review_finish(
    *,
    patient: Patient,
    by: Clinician,
    outcome: str,
    up_to: int,
    after: UUID | None,
    shown: dict,
    now: datetime,
    episode: Episode | None = None,
) -> Review:
    """Everything up to version `up_to` was seen; what the log got since stays new.

    `after` = the newest review when the page was drawn. Sent twice it is one review;
    somebody else's review in between is a refusal, because they may have decided otherwise.
    `episode` = the limb that the outcome is about.
    """
    locked = patient_lock(patient_id=patient.id)
    mark = mark_of(patient=locked)
    newest = mark.review
    if newest and newest.id != after:
        same = (newest.reviewed_by_id, newest.up_to, newest.outcome, newest.episode)
        if same == (by.id, up_to, outcome, episode):
            return newest
        raise RuleBroken(
            f"{newest.reviewed_by.name} reviewed this patient after this page was drawn. "
            "Look again.",
            code="review_meanwhile",
        )
    if outcome not in Outcome or not mark.version <= up_to <= locked.log_version:
        raise RuleBroken("This review does not fit the log. Look again.", code="review_impossible")
    review = Review(
        clinic_id=locked.clinic_id,
        patient=locked,
        reviewed_by=by,
        reviewed_at=now,
        since=mark.version,
        up_to=up_to,
        outcome=outcome,
        episode=episode,
        shown=shown,
    )
    review.full_clean(exclude=["shown"])
    review.save(force_insert=True)
    decision_keep(
        patient=locked,
        by=by,
        kind=DecisionKind.REVIEW,
        words=f"{outcome_words(review).capitalize()}. {shown.get('arrived', '').capitalize()}",
        now=now,
        about=review.id,
    )
    locked.reviewed_at = now
    locked.save(update_fields=["reviewed_at"])
    return review
