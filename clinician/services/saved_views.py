"""How a clinician likes the panel."""

from datetime import datetime

from clinician.models import SavedView
from homeprogram.models import Clinician


def view_keep(*, by: Clinician, choice: dict[str, str], now: datetime) -> None:
    """The newest wins; nothing chosen = the whole panel again."""
    if not choice:
        SavedView.objects.filter(clinician=by).delete()
        return
    SavedView.objects.update_or_create(
        clinician=by, defaults={"clinic": by.clinic, "choice": choice, "saved_at": now}
    )
