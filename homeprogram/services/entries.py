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
from homeprogram.models import Entry, Phone
from homeprogram.selectors import log
from homeprogram.selectors.plans import Context, counts
from homeprogram.services.holds import holds_place
from homeprogram.services.intake import Intake, Known, Outcome, ReadItem
from homeprogram.services.projections import entries_project


@dataclass(frozen=True, slots=True)
class Taken:
    """What became of each item, and the entries that flags have to look at."""

    outcomes: Sequence[Outcome]
    rows: list[Entry]


def entries_take(
    *,
    context: Context,
    phone: Phone,
    items: Sequence[ReadItem],
    rules: FlagRules,
    custody_only: bool = False,
) -> Taken:
    """Store, hold or recognise every item; needs the patient's lock.

    `context` is brought up to date. The caller evaluates the flags, because it
    may have more to tell them.
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
    days = entries_project(
        patient=patient, stored=intake.stored, rows=rows, revisions=context.every_revision
    )
    context.rows |= {(str(row.episode_id), row.day): counts(row) for row in days}
    return Taken(outcomes, rows)


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
