"""Keep what somebody types until it is saved."""

from datetime import datetime

from clinician.models import Draft
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician

DRAFT_CHARS_MAX = 40_000  # four full parts of a note, and what the machine drew
NOT_KEPT = {"csrfmiddlewaretoken", "check", "fix", "keep_family"}


def draft_keep(*, by: Clinician, key: str, data: dict[str, list[str]], now: datetime) -> Draft:
    """The newest wins; safe to repeat."""
    typed = {
        name: [one.replace("\0", "") for one in values]  # PostgreSQL keeps no such sign
        for name, values in data.items()
        if name not in NOT_KEPT
    }
    if sum(len(name) + sum(map(len, values)) for name, values in typed.items()) > DRAFT_CHARS_MAX:
        raise RuleBroken("This is too long for a draft.", code="draft_too_long")
    draft, _ = Draft.objects.update_or_create(
        clinician=by, key=key, defaults={"clinic": by.clinic, "data": typed, "saved_at": now}
    )
    return draft


def draft_drop(*, by: Clinician, key: str) -> None:
    Draft.objects.filter(clinician=by, key=key).delete()
