"""What was written or sent: signed notes as Composition, reminders as Communication."""

from collections.abc import Iterator
from html import escape

from clinician.models import Addendum, Reminder, ReminderOutcome, SignedNote
from clinician.selectors.fhir.rows import Rows
from clinician.selectors.fhir.values import Part, concept, day, moment, ref, resource, text, told

PARTS = ("subjective", "objective", "assessment", "plan")
XHTML = "http://www.w3.org/1999/xhtml"


def reminders(rows: Rows) -> Iterator[Part]:
    """That one went out, when and how: never what it said, and it says nothing of health."""
    for sent in rows.reminders:
        yield _reminder(rows, sent)


def _reminder(rows: Rows, sent: Reminder) -> Part:
    known = sent.outcome == ReminderOutcome.SENT
    return resource(
        "Communication",
        sent.id,
        status="completed" if known else "unknown",
        category=[concept("message", sent.kind, sent.get_kind_display())],
        medium=[concept("way", sent.way, sent.get_way_display())],
        subject=rows.subject,
        sent=moment(sent.ended_at or sent.claimed_at),
        recipient=[rows.subject],
        sender=rows.clinic,
    )


def notes(rows: Rows) -> Iterator[Part]:
    """A note never changes: an addendum is a document of its own that is appended to it."""
    for note in rows.notes:
        sections = [_section(name, getattr(note, name)) for name in PARTS]
        yield _signed(
            rows,
            note,
            kind=concept("note", "progress", "Progress note"),
            title="Progress note",
            event=[{"period": {"start": day(note.about_on), "end": day(note.about_on)}}],
            section=[one for one in sections if one],
        )
        for one in sorted(note.addenda.all(), key=lambda each: each.signed_at):
            yield _signed(
                rows,
                one,
                kind=concept("note", "addendum", "Addendum"),
                title="Addendum",
                relatesTo=[{"code": "appends", "targetReference": ref("Composition", note.id)}],
                section=[_section("addendum", one.text)],
            )


def _signed(rows: Rows, row: SignedNote | Addendum, *, kind: Part, **parts: object) -> Part:
    author = rows.who(row.signed_by_id, row.signer_name)
    return resource(
        "Composition",
        row.id,
        status="final",
        type=kind,
        subject=rows.subject,
        date=moment(row.signed_at),
        author=[author],
        attester=[told(mode="professional", time=moment(row.signed_at), party=author)],
        custodian=rows.clinic,
        **parts,
    )


def _section(name: str, words: str) -> Part | None:
    """Lines stay lines; None for a part that was left empty."""
    if not text(words):
        return None
    lines = "<br/>".join(escape(line, quote=False) for line in text(words).splitlines())
    return {
        "title": name.capitalize(),
        "code": concept("section", name, name.capitalize()),
        "text": {"status": "additional", "div": f'<div xmlns="{XHTML}"><p>{lines}</p></div>'},
    }
