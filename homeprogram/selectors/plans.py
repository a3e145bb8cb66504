"""Rows -> the plain facts the rules work on, for one patient or a whole panel.

The number of queries does not depend on the number of patients, nor on how long
their history is.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, fields
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from homeprogram.calc.adherence import Day
from homeprogram.calc.day_status import NOTHING_LOGGED, DayCounts, day_status
from homeprogram.calc.days import ONE_DAY, closes_at, days_between, local_day, zone_or_utc
from homeprogram.calc.schedule import Plan, PlannedRevision, Span, due_on
from homeprogram.models import (
    Episode,
    HeldEntry,
    Hold,
    HoldScope,
    Patient,
    PatientDay,
    Pause,
    Phone,
    PhoneState,
    Revision,
)

# The counts of a day, in the order of DayCounts.
COUNTED = tuple(one.name for one in fields(DayCounts))


@dataclass
class Context:
    """One patient with everything that decides their days."""

    patient: Patient
    now: datetime
    zone: ZoneInfo
    phones: list[Phone] = field(default_factory=list)
    episodes: list[Episode] = field(default_factory=list)
    revisions: dict[str, list[Revision]] = field(default_factory=lambda: defaultdict(list))
    pauses: dict[str, list[Pause]] = field(default_factory=lambda: defaultdict(list))
    holds: list[Hold] = field(default_factory=list)
    rows: dict[tuple[str, date], DayCounts] = field(default_factory=dict)
    held: list[HeldEntry] = field(default_factory=list)

    @property
    def today(self) -> date:
        return local_day(self.now, self.zone)

    @property
    def watermark(self) -> datetime | None:
        """Up to here every active phone is known to hold nothing unsent."""
        active = [phone for phone in self.phones if phone.state == PhoneState.ACTIVE]
        return min((phone.heard_at for phone in active), default=None)

    @property
    def last_contact_at(self) -> datetime | None:
        heard = [phone.last_contact_at for phone in self.phones if phone.last_contact_at]
        return max(heard, default=None)

    @property
    def standing_holds(self) -> list[Hold]:
        return [hold for hold in self.holds if hold.lift_id is None]

    @property
    def every_revision(self) -> list[Revision]:
        return [revision for several in self.revisions.values() for revision in several]

    def program_revisions(self, episode: Episode) -> list[Revision]:
        return self.revisions[str(episode.id)]

    def plan(self, episode: Episode) -> Plan:
        program = getattr(episode, "program", None)
        return Plan(
            revisions=tuple(planned(revision) for revision in self.program_revisions(episode)),
            ended_on=program.ended_on if program else None,
            pauses=tuple(self._spans(episode)),
        )

    def _spans(self, episode: Episode) -> Iterable[Span]:
        for pause in self.pauses[str(episode.id)]:
            yield Span(pause.first_day, pause.last_day)
        for hold in self.holds:
            if hold.scope == HoldScope.ALL or hold.episode_id == episode.id:
                lifted = local_day(hold.lift.lifted_at, self.zone) if hold.lift else None
                yield Span(hold.first_day, lifted)

    def _untold(self) -> list[Span]:
        """Days of which something may be unheard: a held entry, a loss, a phone that is gone."""
        spans = [Span(one.for_date, one.for_date) for one in self.held if one.for_date]
        for phone in self.phones:
            if phone.revoked_at and phone.confirmed_at:
                gone = local_day(phone.revoked_at, self.zone)
                spans.append(Span(self._first_open(phone.heard_at), gone))
            for loss in phone.losses:
                since, until = map(datetime.fromisoformat, (loss["since"], loss["until"]))
                spans.append(Span(self._first_open(since), local_day(until, self.zone)))
        return spans

    def _first_open(self, moment: datetime) -> date:
        """The first day that was not closed yet at a moment."""
        day = local_day(moment, self.zone)
        return day if moment >= closes_at(day - ONE_DAY, self.zone) else day - ONE_DAY

    def days(self, episode: Episode, first: date, last: date) -> list[Day]:
        """Each day decided, first to last."""
        plan, untold, watermark = self.plan(episode), self._untold(), self.watermark
        return [
            self._day(episode, plan, untold, watermark, day) for day in days_between(first, last)
        ]

    def _day(
        self,
        episode: Episode,
        plan: Plan,
        untold: Sequence[Span],
        watermark: datetime | None,
        day: date,
    ) -> Day:
        due = due_on(plan, day)
        logged = self.rows.get((str(episode.id), day), NOTHING_LOGGED)
        status = day_status(
            day=day,
            due=due,
            logged=logged,
            watermark=watermark,
            now=self.now,
            zone=self.zone,
            gap=any(span.covers(day) for span in untold),
        )
        return Day(day, due, logged, status, over=self.now >= closes_at(day, self.zone))


def planned(revision: Revision) -> PlannedRevision:
    named = getattr(revision, "on_phone", None)
    return PlannedRevision(
        id=str(revision.id),
        number=revision.number,
        first_day=revision.first_day,
        named_on=named.named_on if named else None,
        weekdays=tuple(revision.weekdays),
        bouts_per_day=revision.bouts_per_day,
        contractions_per_bout=revision.contractions_per_bout,
    )


def counts(row: PatientDay) -> DayCounts:
    return DayCounts(*(getattr(row, name) for name in COUNTED))


def context_of(
    *,
    patient: Patient,
    now: datetime,
    days_back: int,
    revisions: QuerySet[Revision] | None = None,
) -> Context:
    """`revisions` = all of them, with more columns than the rules need: read once, not twice."""
    return contexts(patients=[patient], now=now, days_back=days_back, revisions=revisions)[0]


def contexts(
    *,
    patients: Sequence[Patient],
    now: datetime,
    days_back: int,
    revisions: QuerySet[Revision] | None = None,
) -> list[Context]:
    """One Context a patient, in the order given; seven queries in all."""
    by_id = {p.id: Context(p, now, zone_or_utc(p.zone)) for p in patients}
    for phone in Phone.objects.filter(patient__in=by_id).order_by("created_at"):
        by_id[phone.patient_id].phones.append(phone)
    _add_programs(by_id, Revision.objects.all() if revisions is None else revisions)
    for hold in Hold.objects.filter(patient__in=by_id).select_related("lift").order_by("placed_at"):
        by_id[hold.patient_id].holds.append(hold)
    for held in HeldEntry.objects.filter(patient__in=by_id, settled_at=None):
        by_id[held.patient_id].held.append(held)
    # A day back more than asked: zones differ by up to a day from ours.
    since = now.date() - timedelta(days=days_back + 2)
    # Plain tuples: a panel of 500 has thousands of days and needs only counts.
    days = PatientDay.objects.filter(patient__in=by_id, day__gte=since)
    for patient_id, episode_id, day, *counted in days.values_list(
        "patient_id", "episode_id", "day", *COUNTED
    ):
        by_id[patient_id].rows[str(episode_id), day] = DayCounts(*counted)
    return list(by_id.values())


def _add_programs(by_id: dict, revisions: QuerySet[Revision]) -> None:
    episodes = Episode.objects.filter(patient__in=by_id).select_related("program")
    for episode in episodes.order_by("starts_on", "limb"):
        by_id[episode.patient_id].episodes.append(episode)
    revisions = revisions.filter(program__patient__in=by_id)
    for revision in revisions.select_related("program", "on_phone", "stimulator").order_by(
        "number"
    ):
        context = by_id[revision.program.patient_id]
        context.revisions[str(revision.program.episode_id)].append(revision)
    for pause in Pause.objects.filter(program__patient__in=by_id).select_related("program"):
        context = by_id[pause.program.patient_id]
        context.pauses[str(pause.program.episode_id)].append(pause)
