"""Whether the log still says what it was told: hashes, columns, versions, numbers.

Reads only. Every fault found is one word; what it means is in FAULTS.
"""

from collections import Counter

from homeprogram.calc.entry_body import read_body
from homeprogram.calc.losses import numbers_lost
from homeprogram.calc.text_forms import digest
from homeprogram.errors import InvalidEntry
from homeprogram.models import Change, ChangeType, Entry, HeldEntry, Patient, Phone

FAULTS = {
    "damaged": "the text is not what its hash was made of",
    "misread": "the columns are not what the text says",
    "untold": "an entry without its version, or a version without its change",
    "absent": "a number that was claimed to be here is not",
}
COLUMNS = (
    "number",
    "kind",
    "for_date",
    "local_time",
    "offset_min",
    "zone",
    "device_ms",
    "clock_changed",
    "logged_by",
    "payload",
    "phone_id",
    "episode_id",
    "revision_id",
)


def patient_faults(*, patient: Patient) -> Counter:
    """How many faults of each kind one patient's log has; all of it is read."""
    entries = list(Entry.objects.filter(patient=patient))
    held = list(HeldEntry.objects.filter(patient=patient))
    changes = list(Change.objects.filter(patient=patient))
    return +Counter(
        damaged=sum(digest(row.raw) != row.sha256 for row in entries),
        misread=sum(not _read_as_stored(row) for row in entries),
        untold=_untold(patient, entries, changes),
        absent=sum(
            _absent(phone, entries, held) for phone in Phone.objects.filter(patient=patient)
        ),
    )


def _read_as_stored(entry: Entry) -> bool:
    try:
        body = read_body(entry.raw)
    except InvalidEntry:
        return False
    same = all(getattr(body, name) == getattr(entry, name) for name in COLUMNS)
    return same and body.id == entry.entry_id


def _untold(patient: Patient, entries: list[Entry], changes: list[Change]) -> int:
    """Versions count from 1 to the patient's own without a gap, each entry's among them."""
    versions = sorted(change.version for change in changes)
    gaps = abs(patient.log_version - len(versions)) + (
        versions != list(range(1, len(versions) + 1))
    )
    told = {(c.version, c.object_id) for c in changes if c.type == ChangeType.ENTRY}
    return gaps + sum((entry.version, entry.entry_id) not in told for entry in entries)


def _absent(phone: Phone, entries: list[Entry], held: list[HeldEntry]) -> int:
    here = {row.number for row in (*entries, *held) if row.phone_id == phone.id}
    here |= numbers_lost(phone.losses)
    return sum(number not in here for number in range(1, phone.claimed_to + 1))
