"""A phone's own file of entries that had not reached the clinic, read in at the desk."""

import json
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from homeprogram.calc import limits
from homeprogram.calc.entry_body import claimed
from homeprogram.calc.flag_thresholds import effective_rules
from homeprogram.calc.text_forms import digest
from homeprogram.errors import RuleBroken
from homeprogram.models import Patient, Phone
from homeprogram.selectors.plans import context_of
from homeprogram.services.changes import patient_lock
from homeprogram.services.entries import entries_take
from homeprogram.services.flags import patient_flags_evaluate
from homeprogram.services.intake import Item, items_read

FORMAT = "boutwise-entries-1"


@dataclass(frozen=True, slots=True)
class FileTaken:
    """How many entries of the file were new, were here before, or wait for a person."""

    stored: int
    already: int
    held: int


def phone_file_take(*, patient: Patient, text: bytes, now: datetime) -> FileTaken:
    """Every entry of the file into the log or into custody; reading it twice changes nothing.

    Whoever reads the file in vouches that it is this patient's: a phone that was
    replaced or lost counts too. Raises RuleBroken when it is no such file.
    """
    items = _items(text)
    counted: Counter = Counter()
    for first in range(0, len(items), limits.PUSH_ENTRIES_MAX):
        counted += _take(patient, items[first : first + limits.PUSH_ENTRIES_MAX], now)
    return FileTaken(counted["stored"], counted["already"], counted["held"])


def _items(text: bytes) -> list[Item]:
    try:
        data = json.loads(text)
        numbered = [Item(one["body"], one["sha256"]) for one in data["entries"]]
        # Saved while the phone's log did not answer: the clinic holds them for a person.
        loose = [json.dumps(fields) for fields in data.get("unnumbered", [])]
        sound = data["format"] == FORMAT and all(
            isinstance(part, str) for item in numbered for part in (item.body, item.sha256)
        )
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
        sound = False
    if not sound:
        raise _refusal("This is no file of entries from a phone. Choose the file it saved.")
    items = [*numbered, *(Item(body, digest(body)) for body in loose)]
    if len(items) > limits.FILE_ENTRIES_MAX:
        raise _refusal(f"A file may hold {limits.FILE_ENTRIES_MAX} entries at most.")
    return items


def _refusal(message: str) -> RuleBroken:
    return RuleBroken(message, code="phone_file_unreadable", fields={"file": message})


@transaction.atomic
def _take(patient: Patient, items: Sequence[Item], now: datetime) -> Counter:
    patient = patient_lock(patient_id=patient.id)
    rules = effective_rules(patient.clinic.rules, patient.rules)
    context = context_of(patient=patient, now=now, days_back=rules.window_days, pads=True)
    counted: Counter = Counter()
    for phone, mine in _by_phone(context.phones, items):
        taken = entries_take(context=context, phone=phone, items=items_read(mine), rules=rules)
        counted.update(outcome.word for outcome in taken.outcomes)
    patient_flags_evaluate(patient=patient, now=now)
    return counted


def _by_phone(phones: Sequence[Phone], items: Sequence[Item]) -> list[tuple[Phone, list[Item]]]:
    """Each phone with the items it wrote; what names none of them goes to the newest."""
    if not phones:
        message = "This patient has had no phone, so the file cannot be theirs."
        raise _refusal(message)
    by_id = {str(phone.id): phone for phone in phones}
    grouped: dict[Phone, list[Item]] = defaultdict(list)
    for item in items:
        grouped[by_id.get(str(claimed(item.body)["phone_id"]), phones[-1])].append(item)
    return list(grouped.items())
