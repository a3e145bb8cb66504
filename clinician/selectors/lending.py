"""The lending log: where each stimulator is, what stands against lending it, what is overdue."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Prefetch, QuerySet

from clinician.models import Loan, Stimulator, StimulatorEvent
from clinician.selectors.words import day_long, day_short, moment_long
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.models import Clinic, Patient


def open_loans(*, patient: Patient) -> list[Loan]:
    """What the patient still has at home, longest first."""
    loans = Loan.objects.filter(patient=patient, returned_at=None)
    return list(loans.select_related("stimulator__profile", "lent_by").order_by("lent_at"))


def obstacles(own: Stimulator, today: date) -> list[str]:
    """Why it must not go out; each sentence says what to do."""
    against = []
    if own.quarantined_at:
        against.append(f"It is in quarantine ({own.quarantine_reason}). Have it released first.")
    if own.check_due_on is None:
        against.append("No safety check is written down. Have it checked first.")
    elif own.check_due_on < today:
        against.append(
            f"Its safety check was due on {day_long(own.check_due_on)}. Have it checked first."
        )
    return against


def own_stimulators(*, clinic: Clinic) -> QuerySet[Stimulator]:
    """By asset number, each with its open loan."""
    open_ones = Loan.objects.filter(returned_at=None).select_related("patient")
    return (
        Stimulator.objects.filter(clinic=clinic)
        .select_related("profile", "clinic")
        .prefetch_related(Prefetch("loans", open_ones, to_attr="open_loans"))
        .order_by("asset_number")
    )


def own_stimulator_of_clinic(*, clinic: Clinic, stimulator_id: UUID) -> Stimulator | None:
    return own_stimulators(clinic=clinic).filter(id=stimulator_id).first()


def loan_of_clinic(*, clinic: Clinic, loan_id: UUID) -> Loan | None:
    loans = Loan.objects.filter(clinic=clinic, id=loan_id, returned_at=None)
    return loans.select_related("stimulator__profile", "patient", "clinic").first()


def to_lend(*, clinic: Clinic, today: date) -> list[Stimulator]:
    """In use and not lent; those that must not go out come last, for a lead."""
    own = own_stimulators(clinic=clinic)
    free = (one for one in own if not one.open_loans and not one.retired_at)
    return sorted(free, key=lambda one: bool(obstacles(one, today)))


def lend_words(own: Stimulator, today: date) -> str:
    """As a form offers it."""
    name = f"{own.asset_number}, {own.profile.name}"
    return f"{name} (not fit to lend)" if obstacles(own, today) else name


@dataclass(frozen=True, slots=True)
class OwnLine:
    """One stimulator in the clinic's list."""

    id: UUID
    asset_number: str
    profile: str
    leads: str
    state: str  # a code for its shape
    word: str
    detail: str
    patient_id: UUID | None
    patient: str
    check: str
    check_overdue: bool
    cleaned: str
    loan_id: UUID | None

    @property
    def urgency(self) -> int:
        if self.check_overdue and self.state in ("lent", "store"):
            return 2
        return ("overdue", "quarantine", "", "lent", "store", "retired").index(self.state)


def lending_list(*, clinic: Clinic, now: datetime) -> list[OwnLine]:
    """What wants a hand first: not back in time, then quarantine, then checks overdue."""
    zone = zone_or_utc(clinic.zone)
    today = local_day(now, zone)
    lines = [own_line(one, today, zone) for one in own_stimulators(clinic=clinic)]
    return sorted(lines, key=lambda line: line.urgency)


def own_line(own: Stimulator, today: date, zone: ZoneInfo) -> OwnLine:
    loan = own.open_loans[0] if own.open_loans else None
    state, word, detail = _state(own, loan, today, zone)
    overdue = own.retired_at is None and (own.check_due_on is None or own.check_due_on < today)
    return OwnLine(
        id=own.id,
        asset_number=own.asset_number,
        profile=own.profile.name,
        leads=own.leads,
        state=state,
        word=word,
        detail=detail,
        patient_id=loan.patient_id if loan else None,
        patient=loan.patient.name if loan else "",
        check=_check(own, today),
        check_overdue=overdue,
        cleaned=f"cleaned {day_long(own.cleaned_at.astimezone(zone).date())}"
        if own.cleaned_at
        else "no cleaning written down",
        loan_id=loan.id if loan else None,
    )


def _state(own: Stimulator, loan: Loan | None, today: date, zone: ZoneInfo) -> tuple[str, str, str]:
    quarantine = own.quarantined_at is not None
    if loan:
        since = f"since {day_short(loan.lent_at.astimezone(zone).date())}"
        due = f"{since}, due back {day_long(loan.due_back_on)}"
        if quarantine:
            return "quarantine", "lent, in quarantine", f"{due}; {own.quarantine_reason}"
        late = loan.due_back_on < today
        return ("overdue", "not back in time", due) if late else ("lent", "lent", due)
    if own.retired_at:
        return "retired", "out of use", f"since {moment_long(own.retired_at, zone)}"
    if quarantine:
        return "quarantine", "in quarantine", own.quarantine_reason
    return "store", "in the store", ""


def _check(own: Stimulator, today: date) -> str:
    if own.check_due_on is None:
        return "no safety check written down"
    word = "was due" if own.check_due_on < today else "due"
    return f"checked {day_long(own.checked_on)}, next {word} {day_long(own.check_due_on)}"


@dataclass(frozen=True, slots=True)
class LoanLine:
    id: UUID
    stimulator_id: UUID
    asset_number: str
    profile: str
    patient_id: UUID
    patient: str
    went_with: str
    since: str
    due: str
    overdue: bool
    check: str
    check_overdue: bool
    quarantine: str
    override: str
    ended: str
    return_note: str


def patient_loans(*, patient: Patient, now: datetime) -> list[LoanLine]:
    """Open ones first, then earlier ones, newest first."""
    zone = zone_or_utc(patient.clinic.zone)
    loans = Loan.objects.filter(patient=patient).select_related(
        "stimulator__profile", "patient", "lent_by", "returned_to"
    )
    return loan_lines(loans, local_day(now, zone), zone)


def loan_lines(loans: Iterable[Loan], today: date, zone: ZoneInfo) -> list[LoanLine]:
    ordered = sorted(loans, key=lambda one: (one.returned_at is not None, -one.lent_at.timestamp()))
    return [_loan_line(loan, today, zone) for loan in ordered]


def _loan_line(loan: Loan, today: date, zone: ZoneInfo) -> LoanLine:
    own, is_open = loan.stimulator, loan.returned_at is None
    check_due = own.check_due_on
    back = "" if is_open else f"{moment_long(loan.returned_at, zone)} to {loan.returned_to.name}"
    return LoanLine(
        id=loan.id,
        stimulator_id=own.id,
        asset_number=own.asset_number,
        profile=own.profile.name,
        patient_id=loan.patient_id,
        patient=loan.patient.name,
        went_with=loan.went_with,
        since=f"{moment_long(loan.lent_at, zone)} by {loan.lent_by.name}",
        due=day_long(loan.due_back_on),
        overdue=is_open and loan.due_back_on < today,
        check=_check(own, today),
        check_overdue=is_open and (check_due is None or check_due < today),
        quarantine=own.quarantine_reason if is_open else "",
        override=loan.override_reason,
        ended=back,
        return_note=loan.return_note,
    )


@dataclass(frozen=True, slots=True)
class OwnHistory:
    """One stimulator with all that happened to it, newest first."""

    own: OwnLine
    loans: list[LoanLine]
    events: list[str]


def own_history(*, own: Stimulator, now: datetime) -> OwnHistory:
    zone = zone_or_utc(own.clinic.zone)
    today = local_day(now, zone)
    loans = Loan.objects.filter(stimulator=own).select_related(
        "patient", "stimulator__profile", "lent_by", "returned_to"
    )
    events = own.events.select_related("by").order_by("-at")
    return OwnHistory(
        own=own_line(own, today, zone),
        loans=loan_lines(loans, today, zone),
        events=[_event(event) for event in events],
    )


def _event(event: StimulatorEvent) -> str:
    due = f", next due {day_long(event.due_on)}" if event.due_on else ""
    note = f": {event.note}" if event.note else ""
    said = f"{day_long(event.on)}, {event.get_act_display().lower()}{due}{note}"
    return f"{said} ({event.by.name})"
