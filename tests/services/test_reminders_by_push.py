"""The clock's round over the real ways: which phone rings, and what its service's answer does."""

from dataclasses import replace
from datetime import timedelta

import pytest

from clinician.models import Reminder, Way
from clinician.services.channels.outcome import Outcome
from clinician.services.channels.push import PUSH, PushChannel
from clinician.services.channels.routes import ROUTES
from clinician.services.contact_requests import contact_request_send
from homeprogram.errors import RuleBroken
from homeprogram.models import PushSubscription
from homeprogram.services.subscriptions import subscription_record, subscription_turn_off
from tests.support.push_service import PushService, Receiver
from tests.support.pushes import push_at
from tests.support.reminding import SITE, Remembering, agreed, evening, routes_of, tick

RECEIVER = Receiver()


@pytest.fixture
def service(tmp_path):
    with PushService(tmp_path / "push-service").open() as running:
        yield running


@pytest.fixture
def routes(service):
    return {Way.PUSH: replace(PUSH, channel=PushChannel(service.wire()))}


@pytest.fixture
def told(phone, revision, clinician, now):
    push_at(phone, now, have=[revision.id])
    agreed(phone.row.patient, clinician, now, ways=["push"])
    return phone


@pytest.fixture
def rings(told, now):
    said = RECEIVER.subscription()
    return subscription_record(phone=told.row, endpoint=said["endpoint"], now=now, **said["keys"])


def test_push_is_a_way_where_its_extra_is_installed():
    assert Way.PUSH in ROUTES
    assert Way.TEXT not in ROUTES  # no gateway is named


def test_a_phone_that_takes_notices_rings_once(rings, routes, service, now):
    tick(routes, evening(now))
    tick(routes, evening(now))

    assert Reminder.objects.get().outcome == "sent"
    assert len(service.heard) == 1
    rings.refresh_from_db()
    assert rings.last_ok_at == evening(now)


def test_a_phone_that_takes_none_is_not_reached(told, routes, now):
    assert tick(routes, evening(now)).sent == 0
    assert not Reminder.objects.exists()


def test_one_that_was_turned_off_rings_no_more(rings, told, routes, service, now):
    subscription_turn_off(phone=told.row, now=now)

    tick(routes, evening(now))

    assert service.heard == []


def test_a_subscription_that_is_gone_ends_with_the_reminder_that_found_it(
    rings, routes, service, now
):
    service.says(410)

    tick(routes, evening(now))

    # Another way may still take it.
    assert (Reminder.objects.get().outcome, Reminder.objects.get().why) == (
        "later",
        "unknown_there",
    )
    assert PushSubscription.objects.get().ended_why == "gone"


def test_a_busy_service_is_asked_again_and_rings_once(rings, routes, service, now):
    service.says(503, Retry_After="600")
    tick(routes, evening(now))
    service.says(201)
    tick(routes, evening(now).replace(minute=5))
    tick(routes, evening(now).replace(minute=10))

    assert [heard.headers["ttl"] for heard in service.heard] == ["10800", "10200"]
    assert Reminder.objects.get().outcome == "sent"


def test_the_notice_differs_when_the_phone_was_heard_today_and_when_not(
    rings, told, routes, service, now
):
    tick(routes, evening(now))
    push_at(told, evening(now, 2) - timedelta(hours=1))
    tick(routes, evening(now, 2))

    unheard, heard = (RECEIVER.reads(one.body).decode() for one in service.heard)
    assert (unheard[32:], heard[32:]) == ("h", "l")


def test_a_notice_never_asks_for_a_call(rings, routes, told, clinician, now):
    with pytest.raises(RuleBroken) as refused:
        contact_request_send(
            patient=told.row.patient, by=clinician, routes=routes, site=SITE, clock=lambda: now
        )

    assert refused.value.code == "contact_refused"


def test_a_call_asked_for_by_mail_is_asked_again_by_mail_and_rings_no_phone(
    rings, routes, service, clinician, now
):
    patient, soon = rings.patient, evening(now) + timedelta(minutes=5)
    agreed(patient, clinician, now, ways=["push", "email"])
    mail = Remembering([Outcome.later(soon, "busy")])
    both = routes | routes_of(email=mail)
    contact_request_send(
        patient=patient, by=clinician, routes=both, site=SITE, clock=lambda: evening(now)
    )
    tick(both, soon)

    assert [message.wording for message, *_ in mail.taken] == ["contact", "contact"]
    assert service.heard == []
