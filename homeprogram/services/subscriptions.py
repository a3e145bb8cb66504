"""Where a phone's push service can be reached: told by the phone, and forgotten when it ends."""

from collections.abc import Iterable
from datetime import datetime
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.db.models import F

from homeprogram.calc.endpoint import endpoint_fault
from homeprogram.errors import RuleBroken
from homeprogram.models import Ended, Phone, PushSubscription
from homeprogram.models.subscription import FAILED_WHY_MOST
from homeprogram.services import push_keys
from homeprogram.services.changes import patient_lock


@transaction.atomic
def subscription_record(
    *, phone: Phone, endpoint: str, p256dh: str, auth: str, now: datetime
) -> PushSubscription:
    """Safe to repeat: a phone says it again at every start.

    A browser that was paired anew rings for its new pairing alone.
    """
    if not push_keys.can_push():
        raise RuleBroken("This server sends nothing to phones.", code="push_off")
    if endpoint_fault(endpoint, settings.PUSH_HOSTS):
        raise RuleBroken("This is no push service we know.", code="endpoint_refused")
    push_keys.phone_keys_check(p256dh=p256dh, auth=auth)
    patient_lock(patient_id=phone.patient_id)
    known = PushSubscription.objects.filter(endpoint=endpoint).first()
    if known and known.phone_id != phone.id:
        subscriptions_end(phone_ids=[known.phone_id], why=Ended.MOVED, now=now)
    elif known and (known.p256dh, known.auth) == (p256dh, auth):
        return known
    told = {"endpoint": endpoint, "p256dh": p256dh, "auth": auth, "created_at": now}
    fresh = {"failures": 0, "failed_why": "", "ended_at": None, "ended_why": Ended.NONE}
    whose = {"clinic_id": phone.clinic_id, "patient_id": phone.patient_id}
    row, _ = PushSubscription.objects.update_or_create(
        phone=phone, defaults=told | fresh, create_defaults=told | whose
    )
    return row


def subscription_turn_off(*, phone: Phone, now: datetime) -> None:
    """Its owner wants no more; honoured at once, also by what is on its way."""
    subscriptions_end(phone_ids=[phone.id], why=Ended.TURNED_OFF, now=now)


def subscriptions_end(*, phone_ids: Iterable[UUID], why: Ended, now: datetime) -> int:
    """Forgets where these phones can be reached; how many there were."""
    rows = PushSubscription.objects.filter(phone_id__in=phone_ids, ended_at=None)
    return rows.update(endpoint="", p256dh="", auth="", ended_at=now, ended_why=why)


def subscription_gone(*, subscription: PushSubscription, now: datetime) -> None:
    """The push service knows it no more; one that was renewed meanwhile stays."""
    rows = PushSubscription.objects.filter(id=subscription.id, endpoint=subscription.endpoint)
    rows.update(endpoint="", p256dh="", auth="", ended_at=now, ended_why=Ended.GONE)


def subscription_taken(*, subscription: PushSubscription, now: datetime) -> None:
    rows = PushSubscription.objects.filter(id=subscription.id)
    rows.update(last_ok_at=now, failures=0, failed_why="")


def subscription_failed(*, subscription: PushSubscription, why: str) -> None:
    rows = PushSubscription.objects.filter(id=subscription.id)
    rows.update(failures=F("failures") + 1, failed_why=why[:FAILED_WHY_MOST])
