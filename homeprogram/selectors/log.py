"""Reads of the append-only log."""

from collections.abc import Collection
from datetime import date, datetime, timedelta
from itertools import islice
from uuid import UUID

from django.db.models import Q, QuerySet, Subquery

from homeprogram.calc import limits
from homeprogram.calc.losses import numbers_lost
from homeprogram.calc.readings import Dose, Logged, Reading, readings
from homeprogram.models import Change, Entry, HeldEntry, Patient, Phone, Revision
from homeprogram.selectors.plans import Context

# Kinds that tell a flag something; what is due and done reaches it as day rows.
TOLD_KINDS = (
    "bout",
    "morning_check",
    "skin_check",
    "stop_report",
    "not_done",
    "note_to_clinic",
    "correction",
    "withdrawal",
)
# What the rules work on (`logged`).
LOGGED = (
    "entry_id",
    "kind",
    "number",
    "episode_id",
    "revision_id",
    "for_date",
    "of",
    "payload",
    "received_at",
)
# What a page prints of an entry, and who read it.
PRINTED = (
    "entry_id",
    "number",
    "kind",
    "for_date",
    "local_time",
    "zone",
    "clock_changed",
    "logged_by",
    "of",
    "payload",
    "received_at",
    "version",
    "phone_id",
    "episode_id",
    "revision_id",
    "reading__read_at",
    "reading__read_by__name",
)
# Held for these reasons, an entry's number says nothing about this phone.
NUMBER_UNSURE = ("other_phone", "hash_mismatch")
# Held for these reasons, an entry may be understood by a newer program.
LOOK_AGAIN = (
    "kind_unknown",
    "schema_unknown",
    "entry_invalid",
    "payload_invalid",
    "entry_refused",
    "episode_unknown",
    "revision_unknown",
)


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


def held_known(*, phone: Phone, hashes: Collection[str]) -> dict[str, HeldEntry]:
    return {h.sha256: h for h in HeldEntry.objects.filter(phone=phone, sha256__in=hashes)}


def held_to_look_at_again() -> list[HeldEntry]:
    """Not settled, of every clinic, one patient after the other in the order received."""
    held = HeldEntry.objects.filter(settled_at=None, code__in=LOOK_AGAIN)
    return list(held.order_by("patient_id", "version"))


def gaps(*, phone: Phone, arriving: Collection[int] = ()) -> list[int]:
    """Numbers up to the announced high that never arrived, lowest first.

    `arriving` = numbers known to be here. What the phone said it lost is no gap
    any more. At most GAPS_MAX are named: a phone may announce any number, and
    must not make the clinic count up to it.
    """
    first, last = phone.claimed_to + 1, phone.high
    arrived = set(arriving) | numbers_lost(phone.losses)
    if last - first < len(arrived) and arrived.issuperset(range(first, last + 1)):
        return []
    entries = Entry.objects.filter(phone=phone, number__gte=first)
    held = HeldEntry.objects.filter(phone=phone, number__gte=first)
    # Whether such a number is this phone's is for a person to say.
    held = held.exclude(code__in=NUMBER_UNSURE, settled_at=None)
    numbers = [rows.values_list("number", flat=True).order_by() for rows in (entries, held)]
    arrived |= set(numbers[0].union(numbers[1]))
    return list(islice((n for n in range(first, last + 1) if n not in arrived), limits.GAPS_MAX))


def entries_concerned(
    *,
    patient: Patient,
    phones: Collection[Phone],
    ids: Collection[UUID],
    numbers: Collection[int],
    days: Collection[date],
    since: datetime,
) -> list[Entry]:
    """All that one push has to look at: what it names, its days, what flags ask for.

    One question. Each part names an index of its own, so that the cost does not
    grow with the length of the history.
    """
    concerned = (
        Q(patient=patient, entry_id__in=ids)
        | Q(phone__in=phones, number__in=numbers)
        | Q(patient=patient, for_date__in=days)
        | Q(patient=patient, of__isnull=False)
        | Q(patient=patient, received_at__gte=since, kind__in=TOLD_KINDS)
    )
    return list(Entry.objects.filter(concerned).defer("raw"))


def entries_named(*, patient: Patient, ids: Collection[UUID]) -> list[Entry]:
    return list(Entry.objects.filter(patient=patient, entry_id__in=ids).defer("raw"))


def entries_for_days(*, patient: Patient, days: Collection[date]) -> list[Entry]:
    return list(Entry.objects.filter(patient=patient, for_date__in=days).defer("raw"))


def entries_for_days_and_amendments(*, patient: Patient, days: Collection[date]) -> list[Entry]:
    concerned = Q(patient=patient, for_date__in=days) | Q(patient=patient, of__isnull=False)
    return list(Entry.objects.filter(concerned).defer("raw"))


def note_of_patient(*, patient: Patient, entry_id: UUID) -> Entry | None:
    notes = Entry.objects.filter(patient=patient, kind="note_to_clinic")
    return notes.filter(entry_id=entry_id).first()


def entries_of_patient(*, patient: Patient) -> list[Entry]:
    return list(Entry.objects.filter(patient=patient).defer("raw"))


def bouts_standing(*, patient: Patient, since: date) -> list[Reading]:
    """The bouts of the log from a day on, as they read now."""
    bouts = Q(kind="bout", for_date__gte=since) | Q(of__isnull=False)
    told = Entry.objects.filter(bouts, patient=patient).only(*LOGGED)
    return [said for said in readings(map(logged, told)) if said.original.kind == "bout"]


def entries_received_since(*, patient: Patient, since: datetime) -> list[Entry]:
    """What the flags ask for, oldest first."""
    received = Entry.objects.filter(patient=patient, received_at__gte=since, kind__in=TOLD_KINDS)
    return list(received.defer("raw").order_by("version"))


def entries_received_by_patient(
    *, patients: Collection[UUID], since: datetime
) -> dict[UUID, list[Entry]]:
    """The same for many patients at once."""
    received = Entry.objects.filter(
        patient__in=patients, received_at__gte=since, kind__in=TOLD_KINDS
    )
    found: dict[UUID, list[Entry]] = {patient: [] for patient in patients}
    for entry in received.defer("raw").order_by("patient_id", "version"):
        found[entry.patient_id].append(entry)
    return found


def recent_entries(*, context: Context, days: int, reviewed: Subquery) -> list[Entry]:
    """The patient page's list: newest day first, newest version first.

    For the last days, and what arrived in them for whatever day; each with the
    version up to which the patient was `reviewed`. Phones and episodes are those of
    the context; only what a page prints is read.
    """
    span = timedelta(days=days)
    recent = Q(for_date__gt=context.today - span) | Q(received_at__gt=context.now - span)
    rows = Entry.objects.filter(recent, patient=context.patient).only(*PRINTED)
    rows = rows.select_related("reading__read_by").annotate(reviewed_to=reviewed)
    entries = list(rows.order_by("-for_date", "-version"))
    phones = {phone.id: phone for phone in context.phones}
    episodes = {episode.id: episode for episode in context.episodes}
    for entry in entries:
        entry.phone = phones[entry.phone_id]
        entry.episode = episodes.get(entry.episode_id)
    return entries


def entries_told_of(*, patient: Patient, since: date) -> list[Entry]:
    """What these days say, with every amendment of the log: a correction may come late."""
    told = Q(for_date__gte=since) | Q(of__isnull=False)
    return list(Entry.objects.filter(told, patient=patient).defer("raw").order_by("version"))


def entries_for(*, patient: Patient, first: date, last: date) -> list[Entry]:
    """What these days say, newest first, with every amendment of the log for `entry_days`."""
    told = Q(for_date__range=(first, last)) | Q(of__isnull=False)
    rows = _with_their_people(Entry.objects.filter(told, patient=patient))
    return list(rows.order_by("-for_date", "-version"))


def any_entry_before(*, patient: Patient, day: date) -> bool:
    return Entry.objects.filter(patient=patient, for_date__lt=day).exists()


def entries_between(*, patient: Patient, after: int, up_to: int, most: int) -> list[Entry]:
    """By the log's own count, newest day first, at most `most`; amended ones come with them."""
    arrived = Entry.objects.filter(patient=patient, version__gt=after, version__lte=up_to)
    rows = list(_with_their_people(arrived).order_by("-version")[:most])
    here = {row.entry_id for row in rows}
    targets = {row.of for row in rows if row.of} - here
    if targets:
        named = Entry.objects.filter(patient=patient, entry_id__in=targets)
        rows += _with_their_people(named)
    return sorted(rows, key=lambda row: (row.for_date, row.version), reverse=True)


def arrived_count(*, patient: Patient, after: int, up_to: int) -> int:
    return Entry.objects.filter(patient=patient, version__gt=after, version__lte=up_to).count()


def _with_their_people(entries: QuerySet[Entry]) -> QuerySet[Entry]:
    return entries.defer("raw").select_related("phone", "episode", "reading__read_by")


def changes_after(*, patient: Patient, version: int, most: int) -> list[Change]:
    """In the order they were committed, at most `most`."""
    later = Change.objects.filter(patient=patient, version__gt=version)
    return list(later.order_by("version")[:most])
