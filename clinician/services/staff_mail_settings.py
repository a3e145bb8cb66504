"""What a clinician wants by mail."""

from clinician.models import StaffMailSetting
from homeprogram.models import Clinician


def staff_mail_set(*, clinician: Clinician, digest: bool) -> None:
    StaffMailSetting.objects.update_or_create(
        clinician=clinician, defaults={"clinic": clinician.clinic, "digest": digest}
    )
