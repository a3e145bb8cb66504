"""Signed notes as they are read: the parts, who signed, what the machine had drawn."""

from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.models import Addendum, SignedNote
from clinician.selectors.words import day_long, moment_long
from homeprogram.calc.days import zone_or_utc
from homeprogram.models import Clinic


@dataclass(frozen=True, slots=True)
class AddendumCard:
    text: str
    signed: str


@dataclass(frozen=True, slots=True)
class NoteCard:
    id: UUID
    day: str
    limb: str
    late: bool
    parts: list[tuple[str, str]]
    signed: str
    drawn: str  # what the objective part was drawn from
    changed: bool  # the signer changed what the machine drew
    drawn_text: str
    addenda: list[AddendumCard]


def note_of_clinic(*, clinic: Clinic, note_id: UUID) -> SignedNote | None:
    notes = SignedNote.objects.filter(clinic=clinic, id=note_id)
    return notes.select_related("patient__clinic", "episode").prefetch_related("addenda").first()


def note_card(note: SignedNote) -> NoteCard:
    zone = zone_or_utc(note.zone)
    return NoteCard(
        id=note.id,
        day=day_long(note.about_on),
        limb=note.episode.limb.upper() if note.episode else "",
        late=note.late,
        parts=[
            ("Subjective", note.subjective),
            ("Objective", note.objective),
            ("Assessment", note.assessment),
            ("Plan", note.plan),
        ],
        signed=_signed(note, zone),
        drawn=drawn_words(note.drawn, zone),
        changed=note.objective != note.drawn["objective"],
        drawn_text=note.drawn["objective"],
        addenda=[
            AddendumCard(one.text, _signed(one, zone_or_utc(one.zone)))
            for one in sorted(note.addenda.all(), key=lambda one: one.signed_at)
        ],
    )


def drawn_words(drawn: dict, zone: ZoneInfo) -> str:
    """From which days, as known when: what came later is not in it."""
    first, last = (day_long(date.fromisoformat(drawn[key])) for key in ("first", "last"))
    cut_off = moment_long(datetime.fromisoformat(drawn["cut_off"]), zone)
    return f"{first} to {last}, as known on {cut_off}"


def _signed(row: SignedNote | Addendum, zone: ZoneInfo) -> str:
    at = moment_long(row.signed_at, zone)
    return f"{row.signer_name}, {row.signer_role}, {at} ({row.zone})"
