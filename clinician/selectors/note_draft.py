"""What a note can be drawn from: the patient's own words, and the figures of the log."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from clinician.models import SignedNote
from clinician.selectors import cards, reasons
from clinician.selectors.behind import behind_episodes
from clinician.selectors.limb_span import limb_lines
from clinician.selectors.panel_row import course
from clinician.selectors.words import ago, day_long, day_short, days_said, moment_long
from homeprogram.calc.days import zone_or_utc
from homeprogram.calc.readings import Reading, readings
from homeprogram.models import Decision, DecisionKind, Entry, Patient
from homeprogram.selectors.log import entries_told_of, logged
from homeprogram.selectors.plans import Context, context_of
from homeprogram.selectors.prescribing import limits_of_patient
from homeprogram.selectors.record import open_flags_of_patient
from homeprogram.selectors.strength_tests import strength_tests_of_patient

USUAL = timedelta(days=7)
FURTHEST = timedelta(days=28)
A_DAY = timedelta(days=1)
WRITTEN_UP = (
    DecisionKind.REVISION,
    DecisionKind.PAUSE,
    DecisionKind.PAUSE_END,
    DecisionKind.LIFT,
    DecisionKind.END,
    DecisionKind.REOPEN,
)
SILENT = ("nothing told", "no check", "no day", "no bout logged")


@dataclass(frozen=True, slots=True)
class Drawn:
    """The objective part as the machine drew it, from which days, as known when."""

    objective: str
    first: str  # ISO days, the patient's
    last: str
    cut_off: str  # ISO moment
    up_to: int  # the log's own count


@dataclass(frozen=True, slots=True)
class NoteDraft:
    subjective: str
    plan: str  # what was decided already, from the trail
    drawn: Drawn


def note_draft(*, patient: Patient, now: datetime) -> NoteDraft:
    """Since the last signed note, a week at least and four at most."""
    context = context_of(patient=patient, now=now, days_back=FURTHEST.days + 1)
    first = _first(patient, context)
    entries = entries_told_of(patient=patient, since=first)
    standing = [one for one in readings(map(logged, entries)) if one.original.for_date >= first]
    return NoteDraft(
        subjective="\n".join(_own_words(standing, entries)),
        plan="\n".join(_decided(patient, now)),
        drawn=Drawn(
            objective="\n".join(_objective(context, standing, first)),
            first=first.isoformat(),
            last=context.today.isoformat(),
            cut_off=now.isoformat(timespec="seconds"),
            up_to=patient.log_version,
        ),
    )


def _first(patient: Patient, context: Context) -> date:
    last = SignedNote.objects.filter(patient=patient).order_by("-signed_at").first()
    since = date.fromisoformat(last.drawn["last"]) if last else context.today
    return max(min(since, context.today - USUAL), context.today - FURTHEST)


def _decided(patient: Patient, now: datetime) -> Iterable[str]:
    """Since the last note, a day at most: what is older was written up or passed by."""
    since = now - A_DAY
    last = SignedNote.objects.filter(patient=patient, signed_at__gt=since)
    newest = last.order_by("-signed_at").first()
    rows = Decision.objects.filter(patient=patient, kind__in=WRITTEN_UP)
    rows = rows.filter(at__gt=newest.signed_at if newest else since).select_related("episode")
    for row in rows.order_by("at"):
        limb = f" {row.episode.limb.upper()}" if row.episode else ""
        yield f"{row.get_kind_display().capitalize()}{limb}: {days_said(row.words.strip())}"


def _own_words(standing: Iterable[Reading], entries: Iterable[Entry]) -> Iterable[str]:
    """Quoted as written and dated; not one word of ours about how the patient is."""
    by_id = {str(entry.entry_id): entry for entry in entries}
    for one in sorted(standing, key=lambda r: (r.original.for_date, r.original.number)):
        said = one.payload.get("text") or one.payload.get("note")
        if said:
            who = by_id[one.original.id].logged_by
            helper = f", written by {who['name']}" if who.get("who") == "helper" else ""
            yield f"{day_short(one.original.for_date)}{helper}: “{said}”"


def _objective(context: Context, standing: Sequence[Reading], first: date) -> Iterable[str]:
    zone = zone_or_utc(context.patient.clinic.zone)
    cut_off = moment_long(context.now, zone)
    yield (
        f"{day_long(first)} to {day_long(context.today)}, as known on {cut_off} ({zone.key}); "
        f"phone heard {ago(context.last_contact_at, context.now)}."
    )
    tests = strength_tests_of_patient(patient=context.patient)
    limits = limits_of_patient(patient=context.patient)
    behind = behind_episodes(context, tests, limits)
    for episode in context.episodes:
        if episode.ended_on and episode.ended_on < first:
            continue
        told = limb_lines(context, episode, standing, first, context.today)
        figures = "; ".join(f"{name.lower()} {said}" for name, said in told if said not in SILENT)
        yield f"{episode.limb.upper()}, {course(context, episode)}: {figures}."
        strength = behind[episode.id]
        if strength.test:
            yield f"Strength, {strength.test.day}: {strength.test_said}."
    for hold in cards.hold_cards(context):
        yield f"On hold: {hold.covers} ({hold.reason})."
    for flag in open_flags_of_patient(patient=context.patient):
        yield f"Flag {reasons.name(flag.reason).lower()}: {reasons.in_words(flag)}."
