"""Where a patient's phone can be reached by its browser's push service."""

from django.db import models
from django.db.models import Q

from homeprogram.models.base import Record, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.patient import Patient
from homeprogram.models.phone import Phone

FAILED_WHY_MOST = 20  # characters of a code


class Ended(models.TextChoices):
    """Why a subscription is over."""

    NONE = "", "it is not"
    TURNED_OFF = "turned_off", "turned off on the phone"
    GONE = "gone", "the push service knows it no more"
    REVOKED = "revoked", "the phone's access ended"
    MOVED = "moved", "the same browser was paired anew"


class PushSubscription(Record):
    """One for each phone, its newest. Once it ends, nothing is kept that could reach it."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="subscriptions")
    phone = models.OneToOneField(Phone, on_delete=models.PROTECT, related_name="subscription")
    # A secret: whoever has the address and both keys can make the phone ring.
    endpoint = models.CharField(max_length=2000, blank=True)
    p256dh = models.CharField(max_length=88, blank=True)
    auth = models.CharField(max_length=24, blank=True)
    created_at = models.DateTimeField()
    last_ok_at = models.DateTimeField(null=True, blank=True)
    failures = models.PositiveIntegerField(default=0)  # running, since the last one taken
    failed_why = models.CharField(max_length=FAILED_WHY_MOST, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_why = models.CharField(max_length=10, choices=Ended, default=Ended.NONE, blank=True)

    class Meta:
        constraints = [
            one_of("ended_why", Ended, "subscription_end_is_known"),
            models.CheckConstraint(
                condition=Q(ended_at=None, ended_why="") & ~Q(endpoint="")
                | Q(ended_at__isnull=False, endpoint="", p256dh="", auth="") & ~Q(ended_why=""),
                name="subscription_reaches_only_while_it_lasts",
            ),
            models.UniqueConstraint(
                fields=["endpoint"],
                condition=Q(ended_at=None),
                name="subscription_rings_one_phone",
            ),
        ]
        indexes = [
            # The clock asks which of a patient's phones can be reached.
            models.Index(
                fields=["patient"], condition=Q(ended_at=None), name="subscription_of_patient"
            ),
        ]
