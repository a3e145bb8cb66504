"""Notices that ended on a phone: turned off is a no, lost at the push service is not."""

import pytest

from clinician.selectors.reminder_effect import effect_page
from homeprogram.models import Ended, PushSubscription
from homeprogram.services.subscriptions import subscription_gone, subscription_turn_off
from tests.support.pushes import push_at
from tests.support.reminding import Remembering, agreed, evening, routes_of, tick


@pytest.fixture
def subscription(phone, revision, patient, clinician, now):
    """Of a patient who was reminded once."""
    push_at(phone, now, have=[revision.id])
    agreed(patient, clinician, now)
    tick(routes_of(email=Remembering()), evening(now))
    return PushSubscription.objects.create(
        clinic=patient.clinic,
        patient=patient,
        phone=patient.phones.get(),
        endpoint="https://push.example/1",
        created_at=now,
    )


def test_a_phone_that_lives_is_counted_as_neither(subscription, clinic, now):
    page = effect_page(clinic=clinic, now=evening(now, 2))

    assert (page.share.reminded, page.share.stopped, page.dead) == (1, 0, 0)


def test_notices_turned_off_on_the_phone_are_a_no(subscription, clinic, now):
    subscription_turn_off(phone=subscription.phone, now=evening(now))
    page = effect_page(clinic=clinic, now=evening(now, 2))

    assert (page.share.stopped, page.dead) == (1, 0)


def test_a_subscription_the_push_service_lost_is_dead_and_no_refusal(subscription, clinic, now):
    subscription_gone(subscription=subscription, now=evening(now))
    page = effect_page(clinic=clinic, now=evening(now, 2))

    assert PushSubscription.objects.get().ended_why == Ended.GONE
    assert (page.share.stopped, page.dead) == (0, 1)
