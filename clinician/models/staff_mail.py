"""Mail to the clinic's own people."""

from django.db import models

from homeprogram.models import Clinic, Clinician
from homeprogram.models.base import Record, one_of


class MailKind(models.TextChoices):
    DIGEST = "digest", "weekly digest"
    SAFETY = "safety", "safety flag"
    OPT_OUTS = "opt_outs", "many patients stopped reminders"


class StaffMailSetting(Record):
    """What one clinician asked to have by mail."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    clinician = models.OneToOneField(
        Clinician, on_delete=models.PROTECT, related_name="mail_setting"
    )
    digest = models.BooleanField(default=False)


class StaffMail(Record):
    """One mail to one clinician. A safety mail whose worker died is sent again."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="+")
    clinician = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="mails")
    kind = models.CharField(max_length=8, choices=MailKind)
    key = models.CharField(max_length=80)  # the week, or the flag and its opening
    claimed_at = models.DateTimeField()
    lease_until = models.DateTimeField()
    tries = models.PositiveSmallIntegerField(default=1)
    sent_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            one_of("kind", MailKind, "staff_mail_kind_is_known"),
            models.UniqueConstraint(
                fields=["clinician", "kind", "key"], name="staff_mail_once_for_one_reason"
            ),
        ]
        indexes = [
            models.Index(
                fields=["lease_until"], condition=models.Q(sent_at=None), name="staff_mail_unsent"
            ),
        ]
