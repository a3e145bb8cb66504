"""Entries into the log with all that follows from them: holds, rows of days.

One way in, whoever brings them: a phone's push, a phone's file, a second look
at what was held.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from uuid import UUID

from homeprogram.calc.entry_body import EntryBody
from homeprogram.calc.limits import FlagRules
from homeprogram.calc.readings import AMENDS
from homeprogram.models import ChangeType, Clinician, Entry, HeldEntry, Phone
from homeprogram.selectors import log
from homeprogram.selectors.plans import Context, counts
from homeprogram.selectors.visits import supervised
from homeprogram.services.changes import changes_announce
from homeprogram.services.holds import holds_place
from homeprogram.services.intake import Intake, Known, Outcome, ReadItem
from homeprogram.services.pad_news import pads_brought_up
from homeprogram.services.projections import entries_project

USED = "Taken in: it can be used now."


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of each item, the entries that flags have to look at, what left custody."""

    outcomes: Sequence[Outcome]
    rows: list[Entry]
    released: list[HeldEntry]


def entries_take(
    *,
    context: Context,
    phone: Phone,
    items: Sequence[ReadItem],
    rules: FlagRules,
    custody_only: bool = False,
    by: Clinician | None = None,
) -> Taken:
    """Store, hold or recognise every item; needs the patient's lock.

    `context` is brought up to date. The caller evaluates the flags, because it
    may have more to tell them. `by` = who wants it so, when it is not the phone.
    """
    patient, now = context.patient, context.now
    rows = _rows_concerned(context, items, rules)
    intake = Intake(
        patient=patient,
        phone=phone,
        items=items,
        rows=rows,
        known=_known(context),
        now=now,
        custody_only=custody_only,
    )
    outcomes = intake.take()
    rows += intake.stored
    context.held += intake.held
    context.holds += holds_place(patient=patient, entries=intake.stored, now=now)
    done = entries_project(
        patient=patient,
        stored=intake.stored,
        rows=rows,
        revisions=context.every_revision,
        seen=[supervised(one, patient) for one in context.supervised],
    )
    context.rows |= {(str(row.episode_id), row.day): counts(row) for row in done.days}
    context.pads = pads_brought_up(context.pads, done.facts, done.standing)
    return Taken(outcomes, rows, _release(context, outcomes, by))


def _release(
    context: Context, outcomes: Sequence[Outcome], by: Clinician | None
) -> list[HeldEntry]:
    """What is in the log now needs nobody to look at it any more."""
    in_log = {outcome.row.sha256 for outcome in outcomes if outcome.word != "held"}
    released = [held for held in context.held if held.sha256 in in_log]
    if released:
        for held in released:
            held.settled_at, held.settled_by, held.settled_note = context.now, by, USED
        HeldEntry.objects.bulk_update(released, ["settled_at", "settled_by", "settled_note"])
        states = [(ChangeType.ENTRY_STATE, held.id) for held in released]
        changes_announce(patient=context.patient, what=states)
        context.held = [held for held in context.held if held not in released]
    return released


def _rows_concerned(context: Context, items: Sequence[ReadItem], rules: FlagRules) -> list[Entry]:
    read = [one.body for one in items if isinstance(one.body, EntryBody)]
    targets = {UUID(body.payload["of"]) for body in read if body.kind in AMENDS}
    return log.entries_concerned(
        patient=context.patient,
        phones=context.phones,
        ids={body.id for body in read} | targets,
        numbers={body.number for body in read},
        days={body.for_date for body in read},
        since=context.now - timedelta(days=rules.window_days),
    )


def _known(context: Context) -> Known:
    return Known(
        episodes=frozenset(episode.id for episode in context.episodes),
        revisions={revision.id: revision for revision in context.every_revision},
        phones={phone.id: phone for phone in context.phones},
    )
