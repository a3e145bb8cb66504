"""All that the patient page shows, in a fixed number of queries."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.selectors import cards
from clinician.selectors.behind import Behind, behind_episodes
from clinician.selectors.calendar import WEEKS
from clinician.selectors.charts import USUAL, charts, days_of, first_day
from clinician.selectors.contacts import ContactLog, contact_log
from clinician.selectors.decisions import DecisionLine, decision_lines
from clinician.selectors.entries import DayLines, days_filled_in_later, entry_days
from clinician.selectors.flag_cards import FlagCard, flag_cards
from clinician.selectors.incidents import IncidentLine, incident_lines
from clinician.selectors.lending import LoanLine, patient_loans
from clinician.selectors.patient_rows import patient_rows
from clinician.selectors.patient_summary import Summary, summary
from clinician.selectors.photo_page import PhotoLine, photo_line
from clinician.selectors.program_cards import EpisodeCard, episode_cards, revisions_made
from clinician.selectors.reminder_page import agreed_words, stopped_words
from clinician.selectors.review_mark import mark_within
from clinician.selectors.thresholds import OwnRules, own_rules
from clinician.selectors.visits import Visits, patient_visits
from clinician.selectors.words import ago, day_long, moment_long, plural
from homeprogram.calc.days import zone_or_utc
from homeprogram.calc.losses import numbers_lost
from homeprogram.models import Consent, Patient, Phone
from homeprogram.selectors.bouts import bouts_felt
from homeprogram.selectors.log import recent_entries
from homeprogram.selectors.one_moment import one_moment
from homeprogram.selectors.photos import clinic_takes_photos
from homeprogram.selectors.plans import Context, context_of
from homeprogram.selectors.visits import supervised

DAYS = WEEKS * 7
NEWEST_DAYS = 7  # shown open; the rest is one click away
OLDER_DAYS = 28  # days with entries; a phone may hand in a year at once
CLOCK_NOTED_FROM_MS = 5 * 60_000


@dataclass(frozen=True, slots=True)
class PhoneCard:
    id: UUID
    label: str
    state: str
    word: str
    contact: str
    claim: str
    clock: str
    losses: list[str]
    paired: str
    build: str


@dataclass(frozen=True, slots=True)
class PatientPage:
    id: UUID
    name: str
    facts: list[tuple[str, str]]
    summary: Summary
    flags: list[FlagCard]
    past_flags: list[FlagCard]
    holds: list[cards.HoldCard]
    releases: list[cards.ReleaseCard]
    lifted: list[str]
    charts: dict  # see clinician/selectors/charts.py
    weeks: str
    episodes: list[tuple[EpisodeCard, Behind]]
    free_limbs: list[str]
    newest_entries: list[DayLines]
    older_entries: list[DayLines]
    older_left_off: int  # days
    newest_days: int
    held: list[cards.HeldCard]
    decisions: list[DecisionLine]
    phones: list[PhoneCard]
    contacts: ContactLog
    visits: Visits
    incidents: list[IncidentLine]
    loans: list[LoanLine]
    past_loans: list[LoanLine]
    reminders: str  # as agreed
    reminders_stopped: list[str]
    own_rules: OwnRules
    consents: list[str]
    consent_in_force: bool
    photos: PhotoLine | None
    contact: str
    days: int


def patient_page(*, patient: Patient, now: datetime, weeks: str = USUAL) -> PatientPage:
    """As of one moment: an entry that arrives meanwhile is in all of it or in none."""
    with one_moment():
        return _patient_page(patient, now, weeks)


def _patient_page(patient: Patient, now: datetime, weeks: str) -> PatientPage:
    zone = zone_or_utc(patient.clinic.zone)
    days_back = max(DAYS + 7, days_of(weeks))
    context = context_of(patient=patient, now=now, days_back=days_back, revisions=revisions_made())
    first = first_day(context=context, weeks=weeks)
    rows = patient_rows(context=context)
    behind = behind_episodes(context, rows.tests, rows.limits)
    since = context.today - timedelta(days=NEWEST_DAYS)
    entries = recent_entries(context=context, days=DAYS, reviewed=mark_within(patient))
    felt = bouts_felt(episodes=[episode.id for episode in context.episodes], since=first)
    days = entry_days(entries, zone, rows.photos)
    older = [one for one in days if one.on <= since]
    listed = {one.on for one in days} - {one.on for one in older[OLDER_DAYS:]}
    behind_flags = [entry for entry in entries if entry.for_date in listed]
    flags = flag_cards(context, rows.flags, zone, behind_flags)
    consents = sorted(rows.consents, key=lambda one: one.given_on, reverse=True)
    episodes = episode_cards(context, zone, days_filled_in_later(days))
    loans = patient_loans(patient=patient, now=now)
    taken = {e.limb for e in context.episodes if e.ended_on is None}
    return PatientPage(
        id=patient.id,
        name=patient.name,
        facts=list(_facts(patient, context)),
        summary=summary(context, episodes, entries),
        flags=[card for card in flags if card.open],
        past_flags=[card for card in flags if not card.open],
        holds=cards.hold_cards(context),
        releases=cards.release_cards(context, zone),
        lifted=cards.lifted_lines(context, zone),
        charts=charts(context=context, felt=felt, tests=rows.tests, first=first),
        weeks=weeks,
        episodes=[(card, behind[card.id]) for card in episodes],
        free_limbs=[limb for limb in ("left", "right") if limb not in taken],
        newest_entries=[one for one in days if one.on > since],
        older_entries=older[:OLDER_DAYS],
        older_left_off=len(older[OLDER_DAYS:]),
        newest_days=NEWEST_DAYS,
        held=cards.held_cards(context.held, zone),
        decisions=decision_lines(rows.decisions, zone),
        phones=[phone_card(phone, now, zone) for phone in reversed(context.phones)],
        contacts=contact_log(rows.contacts, now, zone),
        visits=patient_visits(
            patient=patient, seen=[supervised(one, patient) for one in context.supervised]
        ),
        incidents=incident_lines(rows.incidents, zone),
        loans=[one for one in loans if not one.ended],
        past_loans=[one for one in loans if one.ended],
        reminders=agreed_words(next(iter(rows.reminding), None)),
        reminders_stopped=stopped_words(rows.opt_outs, context.zone),
        own_rules=own_rules(patient, rows.changes),
        consents=[_consent(one) for one in consents],
        photos=photo_line(
            rows.photo_agreements, zone, on=clinic_takes_photos(clinic=patient.clinic)
        ),
        consent_in_force=any(one.withdrawn_on is None for one in consents),
        contact=ago(context.last_contact_at, now),
        days=DAYS,
    )


def _facts(patient: Patient, context: Context) -> Iterable[tuple[str, str]]:
    if patient.born_on:
        age = (context.today - patient.born_on).days // 365.25
        yield "Born", f"{day_long(patient.born_on)} ({plural(age, 'year')})"
    yield "Telephone", patient.telephone or "not recorded"
    local = moment_long(context.now, context.zone)
    yield "Time there", f"{local} ({patient.zone})"
    yield "In the care of", patient.clinician.name if patient.clinician else "nobody yet"


def phone_card(phone: Phone, now: datetime, zone: ZoneInfo) -> PhoneCard:
    return PhoneCard(
        id=phone.id,
        label=phone.label,
        state=phone.state,
        word=phone.get_state_display(),
        contact=f"heard {ago(phone.last_contact_at, now)}"
        if phone.last_contact_at
        else "not heard yet",
        claim=f"all sent up to {moment_long(phone.claim_at, zone)}" if phone.claim_at else "",
        clock=_clock(phone),
        losses=[_loss(loss, zone) for loss in phone.losses],
        paired=moment_long(phone.created_at, zone),
        build=phone.build,
    )


def _loss(loss: dict, zone: ZoneInfo) -> str:
    """Dated, because nobody can say what was in it."""
    since, until = (moment_long(datetime.fromisoformat(loss[k]), zone) for k in ("since", "until"))
    count = len(numbers_lost([loss]))
    if not count:
        return f"its log was cleared; what it had not sent is gone, from {since} to {until}"
    return f"{plural(count, 'entry', 'entries')} will not come, from {since} to {until}"


def _clock(phone: Phone) -> str:
    """Offset = ours minus the phone's; small ones are noise."""
    offset = phone.clock_offset_ms or 0
    if abs(offset) <= CLOCK_NOTED_FROM_MS:
        return ""
    off = timedelta(milliseconds=abs(offset))
    minutes = round(off.total_seconds() / 60)
    size = plural(minutes, "minute") if minutes < 120 else plural(round(minutes / 60), "hour")
    return f"its clock is {size} {'behind' if offset > 0 else 'ahead'}"


def _consent(consent: Consent) -> str:
    guardian = f" by guardian {consent.guardian_name}" if consent.guardian_name else ""
    ended = (
        f", withdrawn or renewed on {day_long(consent.withdrawn_on)}"
        if consent.withdrawn_on
        else ""
    )
    helper = f". Helper at home: {consent.helper_name}" if consent.helper_name else ""
    return f"Given on {day_long(consent.given_on)}{guardian}{ended}{helper}"
