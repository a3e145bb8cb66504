"""Reads of screenings: the latest, what it allows, and what asks for another."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db.models import Max, QuerySet, Subquery

from homeprogram.calc import screening as rules
from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.guidance import Condition, screening_conditions
from homeprogram.models import Entry, EntryKind, Episode, Patient, Pause, Screening


@dataclass(frozen=True, slots=True)
class Standing:
    """Where an episode stands: its latest screening, read again with its answers."""

    screening: Screening | None
    judged: rules.Judged | None
    due: tuple[str, ...]  # reasons for another screening

    @property
    def refusal(self) -> str:
        return rules.gate(self.judged.outcome if self.judged else None, self.due)

    @property
    def blocking(self) -> tuple[Condition, ...]:
        return self.judged.blocking if self.judged else ()


def screenings_of_patient(*, patient: Patient) -> dict[UUID, list[Screening]]:
    """By episode, newest first; each knows when the last stop report and the last change came."""
    by_episode = defaultdict(list)
    reports = Entry.objects.filter(patient=patient, kind=EntryKind.STOP_REPORT)
    rows = Screening.objects.filter(episode__patient=patient).annotate(
        stop_report_at=_newest(reports), change_told_at=_newest(_changes_told(patient.id))
    )
    rows = rows.select_related("recorded_by")
    for row in rows.order_by("-recorded_at"):
        by_episode[row.episode_id].append(row)
    return by_episode


def _newest(entries: QuerySet[Entry]) -> Subquery:
    return Subquery(entries.order_by("-received_at").values("received_at")[:1])


def _changes_told(patient_id: UUID) -> QuerySet[Entry]:
    """Notes that say that something changed; a correction never takes that back."""
    notes = Entry.objects.filter(patient=patient_id, kind=EntryKind.NOTE_TO_CLINIC)
    return notes.filter(payload__has_key="changed")


def last_change_told_at(*, patient_id: UUID) -> datetime | None:
    return _changes_told(patient_id).aggregate(last=Max("received_at"))["last"]


def last_stop_report_at(*, patient_id: UUID) -> datetime | None:
    """When the clinic last received one, whatever became of it since."""
    reports = Entry.objects.filter(patient=patient_id, kind=EntryKind.STOP_REPORT)
    return reports.aggregate(last=Max("received_at"))["last"]


def standing_of_episode(*, episode: Episode, now: datetime) -> Standing:
    latest = Screening.objects.filter(episode=episode).order_by("-recorded_at").first()
    return standing_from(
        latest,
        stop_report_at=last_stop_report_at(patient_id=episode.patient_id),
        change_told_at=last_change_told_at(patient_id=episode.patient_id),
        pauses=Pause.objects.filter(program__episode=episode),
        today=local_day(now, zone_or_utc(episode.patient.zone)),
    )


def standing_from(
    latest: Screening | None,
    *,
    stop_report_at: datetime | None,
    change_told_at: datetime | None = None,
    pauses: Iterable[Pause],
    today: date,
) -> Standing:
    """The same from rows that somebody loaded already."""
    if latest is None:
        return Standing(None, None, ())
    due = rules.rescreen_reasons(
        screened_at=latest.recorded_at,
        stop_report_at=stop_report_at,
        change_told_at=change_told_at,
        pauses=[
            rules.Paused(one.reason, one.created_at, one.first_day, one.last_day) for one in pauses
        ],
        screened_on=latest.on,
        today=today,
    )
    return Standing(latest, judged(latest), due)


def answers_of(screening: Screening) -> dict[str, rules.Answer]:
    """As they were given; guidance may have gained or lost conditions since."""
    return {code: _answer(said) for code, said in screening.answers.items()}


def judged(screening: Screening) -> rules.Judged:
    """What blocks and what to heed. The stored outcome stands, whatever guidance says now."""
    answers = answers_of(screening)
    known = [one for one in screening_conditions() if one.code in answers]
    found = rules.judge(answers, known)
    return rules.Judged(rules.Outcome(screening.outcome), found.blocking, found.heeded)


def _answer(said: dict) -> rules.Answer:
    on = said["opinion_on"]
    return rules.Answer(**said | {"opinion_on": date.fromisoformat(on) if on else None})
