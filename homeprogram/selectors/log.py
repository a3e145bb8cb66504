"""Reads of the append-only log."""

from collections.abc import Collection, Iterable
from datetime import date, datetime, timedelta
from uuid import UUID

from homeprogram.calc.readings import Dose, Logged
from homeprogram.models import Change, Entry, HeldEntry, Patient, Phone, Revision


def logged(entry: Entry) -> Logged:
    """The plain form the rules work on."""
    return Logged(
        id=str(entry.entry_id),
        kind=entry.kind,
        number=entry.number,
        episode_id=str(entry.episode_id) if entry.episode_id else None,
        revision_id=str(entry.revision_id) if entry.revision_id else None,
        for_date=entry.for_date,
        of=str(entry.of) if entry.of else None,
        payload=entry.payload,
        received_at=entry.received_at,
    )


def dose_of(revision: Revision) -> Dose:
    return Dose(
        contractions=revision.contractions_per_bout,
        floors={i["channel"]: i["floor"] for i in revision.intensity if i.get("floor") is not None},
        ceilings={
            i["channel"]: i["ceiling"] for i in revision.intensity if i.get("ceiling") is not None
        },
    )


def entries_known(*, patient: Patient, ids: Collection[UUID]) -> dict[UUID, Entry]:
    return {e.entry_id: e for e in Entry.objects.filter(patient=patient, entry_id__in=ids)}


def numbers_used(*, phone: Phone, numbers: Collection[int]) -> set[int]:
    used = Entry.objects.filter(phone=phone, number__in=numbers)
    return set(used.values_list("number", flat=True))


def held_known(*, phone: Phone, hashes: Collection[str]) -> dict[str, HeldEntry]:
    return {h.sha256: h for h in HeldEntry.objects.filter(phone=phone, sha256__in=hashes)}


def gaps(*, phone: Phone) -> list[int]:
    """Numbers up to the announced high that never arrived, lowest first."""
    arrived = set(
        Entry.objects.filter(phone=phone, number__gt=phone.claimed_to).values_list(
            "number", flat=True
        )
    )
    held = HeldEntry.objects.filter(phone=phone, number__gt=phone.claimed_to)
    arrived |= set(held.values_list("number", flat=True))
    return [n for n in range(phone.claimed_to + 1, phone.high + 1) if n not in arrived]


def entries_for_days(*, patient: Patient, days: Iterable[date]) -> list[Entry]:
    """Entries of those days and every amendment of them, whatever its own day."""
    found = list(Entry.objects.filter(patient=patient, for_date__in=set(days)))
    ids = {entry.entry_id for entry in found}
    fresh = ids
    while fresh:
        amending = Entry.objects.filter(patient=patient, of__in=fresh).exclude(entry_id__in=ids)
        added = list(amending)
        found += added
        fresh = {entry.entry_id for entry in added}
        ids |= fresh
    return found


def roots_of(*, patient: Patient, targets: Collection[UUID]) -> list[Entry]:
    """The entries that amendments finally point at; absent targets are skipped."""
    roots: list[Entry] = []
    wanted = set(targets)
    seen: set[UUID] = set()
    while wanted := wanted - seen:
        seen |= wanted
        found = list(Entry.objects.filter(patient=patient, entry_id__in=wanted))
        roots += [entry for entry in found if entry.of is None]
        wanted = {entry.of for entry in found if entry.of}
    return roots


def entries_received_since(*, patient: Patient, since: datetime) -> list[Entry]:
    received = Entry.objects.filter(patient=patient, received_at__gte=since)
    return list(received.order_by("version"))


def recent_entries(*, patient: Patient, days: int, today: date) -> list[Entry]:
    """The patient page's list: newest day first, newest version first."""
    since = today - timedelta(days=days)
    entries = Entry.objects.filter(patient=patient, for_date__gt=since)
    return list(
        entries.select_related("phone", "episode", "bout", "skin_check").order_by(
            "-for_date", "-version"
        )
    )


def changes_after(*, patient: Patient, version: int, most: int) -> list[Change]:
    """In the order they were committed, at most `most`."""
    later = Change.objects.filter(patient=patient, version__gt=version)
    return list(later.order_by("version")[:most])
