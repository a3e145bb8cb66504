"""One phone, one patient: codes, confirmation, revocation."""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction
from django.db.models import Subquery

from homeprogram.calc import limits
from homeprogram.calc.release import new_key
from homeprogram.errors import PairingRefused, RuleBroken, TooManyTries
from homeprogram.models import (
    Clinician,
    Ended,
    LogIdentity,
    PairingCode,
    PairingTry,
    Patient,
    Phone,
    PhoneState,
)
from homeprogram.services.changes import flags_look_soon, patient_lock
from homeprogram.services.subscriptions import subscriptions_end

HOUR = timedelta(hours=1)
HALF_A_DAY = timedelta(hours=12)


@dataclass(frozen=True, slots=True)
class NewCode:
    """The only moment the code and the link's token can be read."""

    row: PairingCode
    code: str
    token: str


def hashed(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


def _plain(code: str) -> str:
    return "".join(char for char in code.upper() if char.isalnum())


def shown(code: str) -> str:
    """Two groups, so that it can be read out and typed."""
    half = limits.CODE_LENGTH // 2
    return f"{code[:half]}-{code[half:]}"


def code_create(
    *,
    patient: Patient,
    by: Clinician,
    now: datetime,
    replaces: bool = True,
    standing: bool = False,
) -> NewCode:
    """A code for the room: ten minutes, one phone. `standing` is the demo's."""
    code = "".join(secrets.choice(limits.CODE_ALPHABET) for _ in range(limits.CODE_LENGTH))
    token = secrets.token_urlsafe(24)
    row = PairingCode.objects.create(
        clinic=patient.clinic,
        patient=patient,
        code_hash=hashed(code),
        link_hash=hashed(token),
        replaces=replaces,
        created_by=by,
        created_at=now,
        expires_at=now + timedelta(minutes=limits.CODE_MINUTES),
        standing=standing,
    )
    return NewCode(row, shown(code), token)


def phone_pair(*, secret: str, label: str, address: str, now: datetime) -> tuple[Phone, str]:
    """A new phone that waits for the clinic's yes, and its credential.

    Raises PairingRefused for a wrong, used or expired code, TooManyTries past
    the limits of one address or of all of them.
    """
    row = _code_row(secret)
    if row is None or not row.standing:
        # Counted in a transaction of its own: a refusal must not undo the count.
        _count_try(secret=secret, address=address, now=now)
    with transaction.atomic():
        return _redeem(row, label, now)


def _code_row(secret: str) -> PairingCode | None:
    by_link = PairingCode.objects.filter(link_hash=hashed(secret.strip())).first()
    return by_link or PairingCode.objects.filter(code_hash=hashed(_plain(secret))).first()


def _count_try(*, secret: str, address: str, now: datetime) -> None:
    since = now - HOUR
    recent = PairingTry.objects.filter(tried_at__gt=since)
    mine = hashed(address)
    typed = len(_plain(secret)) <= limits.CODE_LENGTH
    if recent.filter(address_hash=mine).count() >= limits.TRIES_PER_ADDRESS or (
        typed and recent.count() >= limits.TRIES_IN_ALL
    ):
        raise TooManyTries(retry_after_s=600)
    PairingTry.objects.filter(tried_at__lte=since).delete()
    PairingTry.objects.create(address_hash=mine, tried_at=now)


def _redeem(row: PairingCode | None, label: str, now: datetime) -> tuple[Phone, str]:
    if row is None:
        raise PairingRefused
    if not row.standing:
        _use_up(row, now)
    token = secrets.token_urlsafe(32)
    phone = Phone.objects.create(
        clinic_id=row.clinic_id,
        patient_id=row.patient_id,
        code=row,
        label=label.strip()[:60] or "phone",
        token_hash=hashed(token),
        created_at=now,
    )
    if row.standing:
        phone_confirm(phone=phone, by=row.created_by, now=now)
    return phone, token


def _use_up(row: PairingCode, now: datetime) -> None:
    if row.expires_at <= now:
        raise PairingRefused(
            "This code is too old. Ask for a new one.", code="pairing_code_expired"
        )
    # A conditional update: two phones cannot both use it.
    if not PairingCode.objects.filter(id=row.id, used_at=None).update(used_at=now):
        raise PairingRefused("This code was used already.", code="pairing_code_used")


@transaction.atomic
def phone_confirm(*, phone: Phone, by: Clinician, now: datetime) -> None:
    """The clinician saw this phone appear and says it is the patient's."""
    # Two phones confirmed at once must not both stay, or both go.
    patient_lock(patient_id=phone.patient_id)
    changed = Phone.objects.filter(id=phone.id, state=PhoneState.WAITING).update(
        state=PhoneState.ACTIVE, confirmed_by=by, confirmed_at=now
    )
    if not changed:
        raise RuleBroken("This phone is not waiting to be confirmed.", code="phone_not_waiting")
    phone.refresh_from_db()
    if phone.code.replaces:
        rows = Phone.objects.filter(patient_id=phone.patient_id, state=PhoneState.ACTIVE)
        others = rows.exclude(id=phone.id)
        subscriptions_end(phone_ids=others.values("id"), why=Ended.REVOKED, now=now)
        others.update(state=PhoneState.REPLACED, revoked_at=now)
    flags_look_soon(patients=Patient.objects.filter(id=phone.patient_id))


@transaction.atomic
def phone_revoke(*, phone: Phone, state: str, now: datetime) -> None:
    """`replaced`: its entries still come into custody; `stolen`: nothing is taken."""
    if state not in {PhoneState.REPLACED, PhoneState.STOLEN}:
        raise RuleBroken("A phone is replaced or stolen.", code="phone_state_unknown")
    patient_lock(patient_id=phone.patient_id)
    Phone.objects.filter(id=phone.id).exclude(state=state).update(state=state, revoked_at=now)
    subscriptions_end(phone_ids=[phone.id], why=Ended.REVOKED, now=now)
    flags_look_soon(patients=Patient.objects.filter(id=phone.patient_id))
    phone.refresh_from_db()


def phone_of_token(*, token: str) -> Phone | None:
    """The phone behind a credential, in whatever state, with patient, clinic and log identity."""
    identity = LogIdentity.objects.filter(id=1).values("identity")
    rows = Phone.objects.select_related("patient", "patient__clinic").annotate(
        log_identity=Subquery(identity)
    )
    return rows.filter(token_hash=hashed(token)).first()


def release_key_of(*, phone: Phone) -> str:
    """The secret behind this phone's release codes, drawn when it first asks."""
    if phone.release_key is None:
        # Conditional: two pulls at once must hear the same.
        Phone.objects.filter(id=phone.id, release_key=None).update(release_key=new_key())
        phone.refresh_from_db(fields=["release_key"])
    return phone.release_key


def credential_due(*, phone: Phone, now: datetime) -> bool:
    """Whether an answer renews the credential, so that 400 days of silence end it, not the course.

    Once in half a day, and of a phone in use. Not with every answer: one that was
    slow on its way, while the same phone was paired anew, would bring the old
    credential back.
    """
    heard = phone.last_contact_at
    return phone.state == PhoneState.ACTIVE and (heard is None or now - heard > HALF_A_DAY)
