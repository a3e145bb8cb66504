"""The facts the flag rules look at, from a patient's context and recent entries."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime, timedelta

from homeprogram.calc.flag_facts import (
    EpisodeFacts,
    Facts,
    LossFact,
    MorningFact,
    PadsFact,
    ReportFact,
    SkinFact,
)
from homeprogram.calc.limits import FlagRules
from homeprogram.calc.losses import numbers_lost
from homeprogram.calc.payloads import PAYLOADS
from homeprogram.calc.readings import Logged, Reading, readings, root
from homeprogram.calc.skin import check_grade
from homeprogram.errors import InvalidEntry
from homeprogram.models import Entry, HeldEntry
from homeprogram.selectors import dose_facts
from homeprogram.selectors.log import logged
from homeprogram.selectors.pads import pads_fact
from homeprogram.selectors.plans import Context


def facts_of(context: Context, entries: Sequence[Entry], rules: FlagRules) -> Facts:
    """`entries` = everything received within the rules' window, oldest first."""
    first = context.today - timedelta(days=rules.window_days)
    log = {one.id: one for one in map(logged, entries)}
    standing = [one for one in readings(log.values()) if one.original.for_date >= first]
    return Facts(
        now=context.now,
        zone=context.zone,
        watermark=context.watermark,
        last_contact_at=context.last_contact_at,
        episodes=tuple(
            EpisodeFacts(str(e.id), tuple(context.days(e, first, context.today)))
            for e in context.episodes
        ),
        skin=tuple(
            _skin_fact(e, said, log) for e, said in _told(entries, "skin_check") if e.episode_id
        ),
        stop_reports=tuple(
            _report(e, symptom)
            for e, said in _told(entries, "stop_report")
            for symptom in said["symptoms"]
        ),
        wishes=tuple(
            _report(e, "note")
            for e, said in _told(entries, "note_to_clinic")
            if said["wants_contact"]
        ),
        not_done=tuple(_report(e, e.payload["reason"]) for e in entries if e.kind == "not_done"),
        held=tuple(_held(one) for one in context.held),
        losses=tuple(_loss(one) for phone in context.phones for one in phone.losses),
        changes=tuple(
            _report(e, change)
            for e, said in _told(entries, "note_to_clinic")
            for change in said.get("changed", ())
        ),
        bouts=dose_facts.bouts(context, standing),
        mornings=tuple(_morning(one) for one in standing if one.original.kind == "morning_check"),
        pads=_pads(context),
        programs=dose_facts.programs(context),
    )


def _told(entries: Iterable[Entry], kind: str) -> Iterator[tuple[Entry, dict]]:
    """Entries of a kind as first written and as corrected: a correction hides nothing."""
    for entry in entries:
        if entry.kind == kind:
            yield entry, entry.payload
        elif entry.kind == "correction":
            try:
                yield entry, PAYLOADS[kind](entry.payload["payload"])
            except InvalidEntry:
                continue  # it corrects something else


def _pads(context: Context) -> dict[str, PadsFact]:
    """Over the whole life of each set; an ended episode wears out no pads."""
    worn = context.pads or {}
    return {
        str(e.id): pads_fact(worn[e.id], context.now, context.today)
        for e in context.episodes
        if e.ended_on is None and e.id in worn
    }


def _skin_fact(entry: Entry, payload: dict, log: Mapping[str, Logged]) -> SkinFact:
    mine = log[str(entry.entry_id)]
    return SkinFact(
        entry_id=str(entry.entry_id),
        episode_id=str(entry.episode_id),
        day=entry.for_date.isoformat(),
        moment=payload["moment"],
        grade=check_grade(payload["pads"], payload["moment"]),
        itchy=any(pad["facts"]["itchy"] for pad in payload["pads"]),
        received_at=entry.received_at,
        check_id=root(mine, log) if mine.of else "",
    )


def _morning(reading: Reading) -> MorningFact:
    said, original = reading.payload, reading.original
    return MorningFact(original.episode_id, original.for_date, said["swelling"], said["knee_pain"])


def _report(entry: Entry, what: str) -> ReportFact:
    return ReportFact(
        entry_id=str(entry.entry_id),
        episode_id=str(entry.episode_id) if entry.episode_id else None,
        day=entry.for_date.isoformat(),
        what=what,
        received_at=entry.received_at,
    )


def _held(held: HeldEntry) -> ReportFact:
    return ReportFact(
        entry_id=str(held.entry_id or held.id),
        episode_id=None,
        day=held.for_date.isoformat() if held.for_date else "",
        what=held.code,
        received_at=held.received_at,
    )


def _loss(loss: dict) -> LossFact:
    moments = (datetime.fromisoformat(loss[name]) for name in ("since", "until", "told_at"))
    return LossFact(len(numbers_lost([loss])), *moments)
