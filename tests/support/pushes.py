"""Pushes at a moment of the test's choosing, through the service a request ends in."""

import json
from datetime import datetime, timedelta

from tests.entries import make_push

MINUTE = timedelta(minutes=1)


def push_at(
    phone,
    now: datetime,
    *entries: dict,
    claim: bool = False,
    have=(),
    clock_off: timedelta = timedelta(),
    claimed_before: timedelta = timedelta(),
    heard_before: timedelta | None = None,
    high: int | None = None,
    **told,
):
    """`clock_off` = how far the phone's clock is ahead; the claim may be older than the push.

    `heard_before` = how long before now, by our clock, the phone says the claim is from.
    """
    from homeprogram.services.intake import Item
    from homeprogram.services.push import Claim, Push, push_take

    sent = millis(now + clock_off)
    top = phone.high if high is None else high
    heard = None if heard_before is None else millis(now - heard_before)
    push = Push(
        build="test",
        high=top,
        have_revision=list(have),
        items=[Item(one["body"], one["sha256"]) for one in entries],
        claim=Claim(millis(now + clock_off - claimed_before), top, heard) if claim else None,
        sent_ms=sent,
        **told,
    )
    return push_take(phone=phone.row, push=push, now=now)


def millis(moment: datetime) -> int:
    return int(moment.timestamp() * 1000)


def push_escaped(phone, *entries: dict, **message):
    """POST with every odd character escaped, as a phone's JSON.stringify writes it."""
    return phone.http.post(
        "/api/v1/sync/push/",
        json.dumps(make_push(entries, high=phone.high, **message)),
        content_type="application/json",
        headers={"X-Boutwise": "1"},
    )


def outcomes(reply) -> list[str]:
    assert reply.status_code == 200, reply.content
    return [receipt["outcome"] for receipt in reply.json()["receipts"]]
