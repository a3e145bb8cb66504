"""Which of a patient's phones can be reached by push."""

from uuid import UUID

from homeprogram.models import Phone, PushSubscription


def live_subscriptions(*, patient_id: UUID) -> list[PushSubscription]:
    """Of phones in use, oldest first."""
    rows = PushSubscription.objects.filter(patient_id=patient_id, ended_at=None)
    return list(rows.filter(phone__state="active").order_by("created_at", "id"))


def is_subscribed(*, phone: Phone) -> bool:
    return PushSubscription.objects.filter(phone=phone, ended_at=None).exists()
