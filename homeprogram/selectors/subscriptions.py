"""Which of a patient's phones can be reached by push."""

from uuid import UUID

from django.db.models import OuterRef, QuerySet

from homeprogram.models import Phone, PushSubscription


def live_of_patient(patient_id: UUID | OuterRef) -> QuerySet[PushSubscription]:
    """Of phones in use."""
    rows = PushSubscription.objects.filter(patient_id=patient_id, ended_at=None)
    return rows.filter(phone__state="active")


def live_subscriptions(*, patient_id: UUID) -> list[PushSubscription]:
    return list(live_of_patient(patient_id).order_by("created_at", "id"))


def is_subscribed(*, phone: Phone) -> bool:
    return PushSubscription.objects.filter(phone=phone, ended_at=None).exists()
