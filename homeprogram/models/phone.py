"""The patient's paired phone and the codes that pair it."""

from datetime import datetime

from django.db import models
from django.db.models import Q

from homeprogram.models.base import Record, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.patient import Patient
from homeprogram.models.user import Clinician


class PairingCode(Record):
    """A typed code and a link's token, both only as hashes."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="pairing_codes")
    code_hash = models.CharField(max_length=64, unique=True)
    link_hash = models.CharField(max_length=64, unique=True)
    replaces = models.BooleanField(default=True)  # the new phone replaces the old one
    created_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    created_at = models.DateTimeField()
    expires_at = models.DateTimeField()
    used_at = models.DateTimeField(null=True, blank=True)
    # Only the demo makes such codes: reusable and confirmed beforehand.
    standing = models.BooleanField(default=False)


class PairingTry(models.Model):
    """A redeemed or failed code, for the rate limit; kept an hour."""

    address_hash = models.CharField(max_length=64)
    tried_at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return f"PairingTry {self.pk}"


class PhoneState(models.TextChoices):
    WAITING = "waiting", "waiting for the clinic"
    ACTIVE = "active"
    REPLACED = "replaced"
    STOLEN = "stolen", "lost or stolen"


class Phone(Record):
    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="phones")
    code = models.ForeignKey(PairingCode, on_delete=models.PROTECT, related_name="phones")
    label = models.CharField(max_length=60)
    token_hash = models.CharField(max_length=64, unique=True)
    state = models.CharField(max_length=10, choices=PhoneState, default=PhoneState.WAITING)
    confirmed_by = models.ForeignKey(
        Clinician, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    created_at = models.DateTimeField()
    confirmed_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    # Shared with the phone once it asks: codes read out by telephone are made and
    # checked with it. Null until then, also for a program that does not know of it yet.
    release_key = models.CharField(max_length=64, null=True, blank=True)  # noqa: DJ001

    # What the phone told us, last heard first.
    last_contact_at = models.DateTimeField(null=True, blank=True)
    build = models.CharField(max_length=40, blank=True)
    high = models.PositiveIntegerField(default=0)  # highest number it ever announced
    clock_offset_ms = models.BigIntegerField(null=True, blank=True)
    # "At this moment I held nothing unsent": the phone's watermark.
    claim_at = models.DateTimeField(null=True, blank=True)
    claimed_to = models.PositiveIntegerField(default=0)  # numbers 1..this are all here
    # Entries that will never come, as the phone told us (homeprogram/calc/losses.py).
    losses = models.JSONField(default=list, blank=True)

    class Meta:
        constraints = [
            one_of("state", PhoneState, "phone_state_is_known"),
            models.CheckConstraint(
                condition=~Q(state="active") | Q(confirmed_at__isnull=False),
                name="phone_active_only_when_confirmed",
            ),
        ]

    @property
    def heard_at(self) -> datetime | None:
        """When it was last known to hold nothing unsent; None before it is confirmed."""
        return self.claim_at or self.confirmed_at
