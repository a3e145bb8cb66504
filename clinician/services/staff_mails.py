"""Mail to the clinic's people: a safety flag nobody has seen, and the week in numbers.

Claimed by a row, like a reminder, but the other way about: a safety mail whose worker
died is sent again. Two of them cost a minute; none could cost a leg.
"""

import logging
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.core.mail import send_mail
from django.db import IntegrityError, transaction
from django.template.loader import render_to_string
from django.urls import reverse

from clinician.models import MailKind, StaffMail
from clinician.selectors.staff_mails import Due, digests_due, notes_due, safety_due, unsent

log = logging.getLogger(__name__)
LEASE = timedelta(minutes=5)
# What fails again and again waits longer, but is tried within the hour.
LEASE_MOST = timedelta(hours=1)
# Then it is given up; never a safety mail, which goes on while its flag waits unseen.
TRIES_MOST = 20
SUBJECTS = {
    MailKind.SAFETY: "A safety flag waits for you",
    MailKind.DIGEST: "Your week at the desk",
    MailKind.OPT_OUTS: "Many patients stopped their reminders",
}


@dataclass(slots=True)
class Mails:
    sent: int = 0
    failed: int = 0

    def __str__(self) -> str:
        return f"{self.sent} sent, {self.failed} failed"


def staff_mails_tick(*, now: datetime, site: str) -> Mails:
    """Whatever is due: new, and what was claimed and never sent."""
    done = Mails()
    for due in _all_due(now):
        _send(lambda due=due: _claim(due, now), due, site, now, done)
    for mail, due in unsent(now=now):
        _send(lambda mail=mail: _claim_again(mail, now), due, site, now, done)
    return done


def _all_due(now: datetime) -> Iterable[Due]:
    yield from safety_due(now=now)
    yield from digests_due(now=now)
    yield from notes_due(now=now)


def _claim(due: Due, now: datetime) -> StaffMail | None:
    """Ours to send; None when somebody else has it."""
    try:
        with transaction.atomic():
            return StaffMail.objects.create(
                clinic_id=due.clinician.clinic_id,
                clinician=due.clinician,
                kind=due.kind,
                key=due.key,
                claimed_at=now,
                lease_until=now + LEASE,
            )
    except IntegrityError:
        return None


def _claim_again(mail: StaffMail, now: datetime) -> StaffMail | None:
    if mail.tries >= TRIES_MOST and mail.kind != MailKind.SAFETY:
        return None
    lease_until = now + min(mail.tries * LEASE, LEASE_MOST)
    mine = StaffMail.objects.filter(id=mail.id, sent_at=None, lease_until=mail.lease_until)
    if not mine.update(lease_until=lease_until, claimed_at=now, tries=mail.tries + 1):
        return None
    mail.lease_until = lease_until
    return mail


def _send(
    claim: Callable[[], StaffMail | None], due: Due, site: str, now: datetime, done: Mails
) -> None:
    mail = claim()
    if mail is None:
        return
    words = due.words | {"desk_url": site + reverse("desk-panel"), "name": due.clinician.name}
    body = render_to_string(f"clinician/mail/{due.kind}.txt", words)
    try:
        send_mail(SUBJECTS[MailKind(due.kind)], body, None, [due.clinician.user.email])
    except Exception as error:  # noqa: BLE001  it stays claimed and is tried again
        log.error("mail %s: %s", mail.id, type(error).__name__)
        done.failed += 1
        return
    StaffMail.objects.filter(id=mail.id, lease_until=mail.lease_until).update(sent_at=now)
    done.sent += 1
