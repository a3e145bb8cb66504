"""Everything that decides a patient's reminders, from their rows, for one or for many."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, date, datetime, time, timedelta
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet

from clinician.models import (
    OUT,
    OptOut,
    Reminder,
    ReminderKind,
    ReminderOutcome,
    ReminderSetting,
    Way,
)
from homeprogram.calc.clinic_settings import ClinicSettings
from homeprogram.calc.day_status import NOTHING_LOGGED
from homeprogram.calc.days import zone_or_utc
from homeprogram.calc.limits import REMINDER_HISTORY_DAYS, REMINDERS_UNANSWERED
from homeprogram.calc.reminders import Case, DayState, QuietHours, Sent, Wanted, day_state
from homeprogram.calc.schedule import due_on
from homeprogram.models import Clinic, Entry
from homeprogram.selectors.plans import Context, contexts
from homeprogram.selectors.subscriptions import live_of_patient

# Whether a way has an address for this patient; the adapters know.
Reaches = Callable[[ReminderSetting, Way], bool]
HISTORY = timedelta(days=REMINDER_HISTORY_DAYS)
# A way that failed is tried again with the next day's reminder, and not before.
PASSED_OVER = timedelta(hours=12)
NO_FAULT_OF_THE_WAY = ("stopped", "too_late")


def settings_with_patients():
    """`rings`: a phone of the patient takes notices."""
    taking = live_of_patient(OuterRef("patient_id"))
    settings = ReminderSetting.objects.select_related("patient__clinic")
    return settings.annotate(rings=Exists(taking))


def but_failed(reaches: Reaches, *, patients: Iterable, now: datetime) -> Reaches:
    """Without the ways that just failed a patient: another that is agreed takes the reminder."""
    rows = Reminder.objects.filter(
        patient__in=patients,
        kind=ReminderKind.DUE,
        outcome=ReminderOutcome.FAILED,
        ended_at__gt=now - PASSED_OVER,
    ).exclude(why__in=NO_FAULT_OF_THE_WAY)
    failed = set(rows.values_list("patient_id", "way"))
    return lambda setting, way: (setting.patient_id, way) not in failed and reaches(setting, way)


def case_of(
    setting: ReminderSetting, *, now: datetime, reaches: Reaches, but: UUID | None = None
) -> Case:
    """`but` = a message that is not counted: the one that is about to be tried again."""
    return cases([setting], now=now, reaches=reaches, but=but)[0]


def cases(
    settings: Sequence[ReminderSetting],
    *,
    now: datetime,
    reaches: Reaches,
    but: UUID | None = None,
) -> list[Case]:
    """One a setting, in the order given; the number of queries does not grow with them."""
    patients = [setting.patient for setting in settings]
    sent = _sent(patients, now, but)
    refused = _refused(patients)
    answered = _answered(sent)
    return [
        Case(
            wanted=wanted(setting, refused[setting.patient_id], reaches),
            zone=context.zone,
            state_of=_states(context),
            sent=sent[setting.patient_id],
            answered=answered[setting.patient_id],
            heard_at=context.last_contact_at,
        )
        for setting, context in zip(
            settings, contexts(patients=patients, now=now, days_back=2), strict=True
        )
    ]


def wanted(setting: ReminderSetting, refused: Iterable[str], reaches: Reaches) -> Wanted:
    ways = [way for way in setting.ways if way not in refused and reaches(setting, Way(way))]
    return Wanted(
        times=tuple(time.fromisoformat(wall) for wall in setting.times),
        channels=tuple(ways),
        on=setting.on and setting.patient.archived_at is None,
        quiet=quiet_of(setting.patient.clinic),
        since=setting.since,
    )


def quiet_of(clinic: Clinic) -> QuietHours:
    """The clinic sets them; they count on the wall where the patient is."""
    own = ClinicSettings.of_clinic(clinic.settings)
    return QuietHours(own.quiet_from, own.quiet_until)


def zone_of(setting: ReminderSetting):
    return zone_or_utc(setting.patient.zone)


def _states(context: Context) -> Callable[[date], DayState]:
    plans = {str(episode.id): context.plan(episode) for episode in context.episodes}

    def state_of(day: date) -> DayState:
        return day_state(
            (due_on(plan, day), context.rows.get((episode, day), NOTHING_LOGGED))
            for episode, plan in plans.items()
        )

    return state_of


def _sent(patients: Iterable, now: datetime, but: UUID | None) -> dict[UUID, list[Sent]]:
    """What went out or may have, of every kind: the caps count them all."""
    since = (now - HISTORY).date()
    rows = Reminder.objects.filter(patient__in=patients, outcome__in=OUT, day__gte=since)
    found = defaultdict(list)
    for row in rows.exclude(id=but).order_by("due_at"):
        found[row.patient_id].append(Sent(row.claimed_at, row.day, row.way))
    return found


def _refused(patients: Iterable) -> dict[UUID, set[str]]:
    found = defaultdict(set)
    standing = OptOut.objects.filter(patient__in=patients, ended_at=None)
    for patient_id, way in standing.values_list("patient_id", "way"):
        found[patient_id].add(way)
    return found


def _answered(sent: dict[UUID, list[Sent]]) -> dict[UUID, list[datetime]]:
    """When the patient logged anything; asked only where it can matter."""
    asked = {
        patient_id: several[-REMINDERS_UNANSWERED].at
        for patient_id, several in sent.items()
        if len(several) >= REMINDERS_UNANSWERED
    }
    if not asked:
        return defaultdict(list)
    return _logged(Entry.objects.filter(patient__in=asked, received_at__gte=min(asked.values())))


def logged_moments(*, patients: Iterable, since: datetime) -> dict[UUID, list[datetime]]:
    """When each logged a bout, or that one was not done, since then."""
    said = Entry.objects.filter(kind__in=("bout", "not_done"))
    return _logged(said.filter(patient__in=patients, received_at__gte=since))


def _logged(entries: QuerySet[Entry]) -> dict[UUID, list[datetime]]:
    found = defaultdict(list)
    rows = entries.values_list("patient_id", "device_ms", "received_at")
    for patient_id, device_ms, received_at in rows:
        found[patient_id].append(logged_at(device_ms, received_at))
    return found


def logged_at(device_ms: int, received_at: datetime) -> datetime:
    """As the phone dated it, but never later than we had it."""
    try:
        return min(datetime.fromtimestamp(device_ms / 1000, tz=UTC), received_at)
    except (OverflowError, OSError, ValueError):
        return received_at
