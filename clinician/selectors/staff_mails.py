"""Which mails to the clinic's people are due, with everything they say. Never a patient's name."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from clinician.models import MailKind, StaffMail, StaffMailSetting
from clinician.selectors.duty import closed_words, waiting_of
from clinician.selectors.reminder_effect import stop_share
from clinician.selectors.words import ago, plural
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.limits import (
    DIGEST_FROM_HOUR,
    DIGEST_UNTIL_HOUR,
    DIGEST_WEEKDAY,
    STOPPED_SHARE_MOST,
    WEEK_DAYS,
)
from homeprogram.models import Clinic, Clinician, Entry, Flag, FlagState, Patient

WEEK = timedelta(days=WEEK_DAYS)


@dataclass(frozen=True, slots=True)
class Due:
    clinician: Clinician
    kind: MailKind
    key: str  # one mail a clinician, kind and key
    words: dict


def safety_due(*, now: datetime) -> Iterator[Due]:
    """To whoever is asked now about an unseen safety flag: once a person and opening."""
    flags = Flag.objects.filter(safety=True, state=FlagState.OPEN, seen_at=None)
    by_clinic: dict = {}
    for flag in flags.select_related("patient", "clinic").order_by("opened_at"):
        by_clinic.setdefault(flag.clinic, []).append(flag)
    for clinic, several in by_clinic.items():
        told, closed = _told(several), closed_words(clinic=clinic, at=now)
        waiting = waiting_of(clinic=clinic, flags=several, at=now)
        for flag in several:
            for person in waiting[flag.id].asked:
                if (person.id, _key(flag)) not in told:
                    yield _safety(flag, person, now, closed)


def _safety(flag: Flag, person: Clinician, now: datetime, closed: str) -> Due:
    words = {"since": ago(flag.waits_since or flag.opened_at, now), "closed": closed}
    return Due(person, MailKind.SAFETY, _key(flag), words)


def _key(flag: Flag) -> str:
    """Of this opening, or this newer fact: each is told anew."""
    since = flag.waits_since or flag.opened_at
    return f"{flag.id.hex} {since:%Y%m%dT%H%M%S}"


def _told(flags: list[Flag]) -> set[tuple]:
    keys = [_key(flag) for flag in flags]
    rows = StaffMail.objects.filter(kind=MailKind.SAFETY, key__in=keys)
    return set(rows.values_list("clinician_id", "key"))


def digests_due(*, now: datetime) -> Iterator[Due]:
    """On the clinic's Monday morning, to those who asked for it."""
    wanting = Clinician.objects.filter(active=True, mail_setting__digest=True)
    for person in wanting.select_related("clinic", "user").order_by("id"):
        here = now.astimezone(zone_or_utc(person.clinic.zone))
        if here.weekday() != DIGEST_WEEKDAY:
            continue
        if not DIGEST_FROM_HOUR <= here.hour < DIGEST_UNTIL_HOUR:
            continue
        key = _week(here.date())
        sent = StaffMail.objects.filter(clinician=person, kind=MailKind.DIGEST, key=key)
        if not sent.exists():
            yield Due(person, MailKind.DIGEST, key, digest(clinician=person, now=now))


def _week(day: date) -> str:
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02}"


def wants_digest(*, clinician: Clinician) -> bool:
    return StaffMailSetting.objects.filter(clinician=clinician, digest=True).exists()


def digest(*, clinician: Clinician, now: datetime) -> dict:
    """Counts of the clinician's own patients, and of those nobody cares for."""
    own = Patient.objects.filter(clinic=clinician.clinic, archived_at=None, clinician=clinician)
    nobodys = Patient.objects.filter(
        clinic=clinician.clinic, archived_at=None, clinician=None
    ).count()
    flags = Flag.objects.filter(patient__in=own, state=FlagState.OPEN)
    safety = flags.filter(safety=True)
    unseen = safety.filter(seen_at=None).count()
    others = flags.filter(safety=False).count()
    unreviewed = own.exclude(reviewed_at__gt=now - WEEK).count()
    adrift = f", {nobodys} in nobody's" if nobodys else ""
    return {
        "lines": [
            f"{plural(own.count(), 'patient')} in your care{adrift}",
            f"{plural(safety.count(), 'safety flag')} open, {unseen} of them not seen",
            f"{plural(others, 'other flag')} open",
            f"{plural(unreviewed, 'patient')} not reviewed in 7 days",
            f"{plural(_entries(own, now), 'entry', 'entries')} came in 7 days",
        ]
    }


def _entries(own, now: datetime) -> int:
    return Entry.objects.filter(patient__in=own, received_at__gt=now - WEEK).count()


def notes_due(*, now: datetime) -> Iterator[Due]:
    """To the leads, once a month: more than so many of those reminded stopped it in 30 days."""
    for clinic in Clinic.objects.order_by("id"):
        hour = now.astimezone(zone_or_utc(clinic.zone)).hour
        if not DIGEST_FROM_HOUR <= hour < DIGEST_UNTIL_HOUR:
            continue
        share = stop_share(clinic=clinic, now=now)
        if not share.is_high:
            continue
        key = f"{local_day(now, zone_or_utc(clinic.zone)):%Y-%m}"
        leads = clinic.clinicians.filter(active=True, role="lead").select_related("user")
        sent = StaffMail.objects.filter(
            clinician__in=leads, kind=MailKind.OPT_OUTS, key=key
        ).values_list("clinician_id", flat=True)
        for lead in leads.exclude(id__in=sent):
            yield Due(lead, MailKind.OPT_OUTS, key, _note(share))


def _note(share) -> dict:
    return {
        "stopped": share.stopped,
        "reminded": share.reminded,
        "pct": f"{100 * STOPPED_SHARE_MOST:g}",
    }


def unsent(*, now: datetime) -> Iterator[tuple[StaffMail, Due]]:
    """Claimed by a worker that died, or that the mail server turned away."""
    rows = StaffMail.objects.filter(sent_at=None, lease_until__lte=now, clinician__active=True)
    for mail in rows.select_related("clinician__user", "clinician__clinic").order_by("claimed_at"):
        words = _words_again(mail, now)
        if words is not None:
            yield mail, Due(mail.clinician, MailKind(mail.kind), mail.key, words)


def _words_again(mail: StaffMail, now: datetime) -> dict | None:
    """None when it is no longer worth saying."""
    if mail.kind == MailKind.DIGEST:
        here = now.astimezone(zone_or_utc(mail.clinician.clinic.zone))
        same_day = _week(here.date()) == mail.key and here.weekday() == DIGEST_WEEKDAY
        wanted = same_day and wants_digest(clinician=mail.clinician)
        return digest(clinician=mail.clinician, now=now) if wanted else None
    if mail.kind == MailKind.OPT_OUTS:
        return _note(stop_share(clinic=mail.clinician.clinic, now=now))
    flag = Flag.objects.filter(
        id=mail.key.split(" ")[0], clinic=mail.clinician.clinic, state=FlagState.OPEN, seen_at=None
    ).first()
    if flag is None or _key(flag) != mail.key:
        return None
    closed = closed_words(clinic=mail.clinician.clinic, at=now)
    return _safety(flag, mail.clinician, now, closed).words
