"""Rows -> the plain facts the rules work on, for one patient or a whole panel.

The number of queries does not depend on the number of patients, nor on how long
their history is.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, fields
from datetime import date, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from homeprogram.calc.adherence import Day
from homeprogram.calc.day_status import NOTHING_LOGGED, DayCounts, day_status
from homeprogram.calc.days import ONE_DAY, closes_at, days_between, local_day, zone_or_utc
from homeprogram.calc.schedule import Plan, PlannedRevision, Span, due_on
from homeprogram.models import (
    Episode,
    Flag,
    HeldEntry,
    Hold,
    HoldScope,
    HomeProgram,
    Lift,
    Patient,
    PatientDay,
    Pause,
    Phone,
    PhoneState,
    Revision,
    RevisionOnPhone,
    StimulatorProfile,
    StrengthTest,
    SupervisedBout,
)
from homeprogram.selectors.at_once import Columns, Questions, rows_about
from homeprogram.selectors.pads import PadsByEpisode, pad_questions, pad_rows, pads_since

# The counts of a day, in the order of DayCounts.
COUNTED = tuple(one.name for one in fields(DayCounts))
LINKED = ("episodes", "programs", "stimulators", "lifts")


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
    # What the flag rules, their cards and new entries need besides; None = not read.
    flags: list[Flag] | None = None
    tests: list[StrengthTest] | None = None
    supervised: list[SupervisedBout] | None = None
    pads: PadsByEpisode | None = None  # time alone wears none: a look at many reads none

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
        key = str(episode.id)
        return [self._day(key, plan, untold, watermark, day) for day in days_between(first, last)]

    def _day(
        self,
        key: str,
        plan: Plan,
        untold: Sequence[Span],
        watermark: datetime | None,
        day: date,
    ) -> Day:
        due = due_on(plan, day)
        logged = self.rows.get((key, day), NOTHING_LOGGED)
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
    pads: bool = False,
    revisions: QuerySet[Revision] | None = None,
) -> Context:
    """`pads`: entries are going to be taken in.

    `revisions` = all of them, with more columns than the rules need: read once, not twice.
    """
    asked = {"now": now, "days_back": days_back, "pads": pads, "revisions": revisions}
    return contexts(patients=[patient], judging=True, **asked)[0]


def contexts(
    *,
    patients: Sequence[Patient],
    now: datetime,
    days_back: int,
    judging: bool = False,
    pads: bool = False,
    revisions: QuerySet[Revision] | None = None,
) -> list[Context]:
    """One Context a patient, in the order given; one query in all, two with `revisions`.

    `judging` = flags are going to be judged: with every card, strength test and
    supervised bout; `pads` = with the life of each set of pads.
    """
    by_id = {p.id: Context(p, now, zone_or_utc(p.zone)) for p in patients}
    # A day back more than asked: zones differ by up to a day from ours.
    since = [now.date() - timedelta(days=days_back + 2), *([pads_since(now)] if pads else [])]
    found = rows_about(_judged if judging else _questions, list(by_id), since=since)
    if revisions is not None:
        found["revisions"] = list(revisions.filter(program__patient__in=by_id))
    _link(found)
    for phone in sorted(found["phones"], key=lambda one: one.created_at):
        by_id[phone.patient_id].phones.append(phone)
    _add_programs(by_id, found)
    for hold in sorted(found["holds"], key=lambda one: one.placed_at):
        by_id[hold.patient_id].holds.append(hold)
    for held in sorted(found["held"], key=lambda one: one.version):
        by_id[held.patient_id].held.append(held)
    keys = {episode.id: str(episode.id) for episode in found["episodes"]}
    for patient_id, episode_id, day, *counted in found["days"]:
        by_id[patient_id].rows[keys[episode_id], day] = DayCounts(*counted)
    if judging:
        _add_judged(by_id, found)
    return list(by_id.values())


def _questions(patients: Sequence[UUID], since: date) -> Questions:
    """Everything about these patients that decides their days."""
    revisions = Revision.objects.filter(program__patient__in=patients)
    days = PatientDay.objects.filter(patient__in=patients, day__gte=since)
    return {
        "phones": Phone.objects.filter(patient__in=patients),
        "episodes": Episode.objects.filter(patient__in=patients),
        "programs": HomeProgram.objects.filter(patient__in=patients),
        "revisions": revisions,
        "named": RevisionOnPhone.objects.filter(revision__program__patient__in=patients),
        "stimulators": StimulatorProfile.objects.filter(id__in=revisions.values("stimulator")),
        "pauses": Pause.objects.filter(program__patient__in=patients),
        "holds": Hold.objects.filter(patient__in=patients),
        "lifts": Lift.objects.filter(patient__in=patients),
        "held": HeldEntry.objects.filter(patient__in=patients, settled_at=None),
        "days": Columns(days, ("patient_id", "episode_id", "day", *COUNTED)),
    }


def _judged(patients: Sequence[UUID], since: date, worn_since: date | None = None) -> Questions:
    """And what their flags need besides; the pads where it is said since when."""
    return {
        **_questions(patients, since),
        "flags": Flag.objects.filter(patient__in=patients),
        "tests": StrengthTest.objects.filter(episode__patient__in=patients),
        "supervised": SupervisedBout.objects.filter(patient__in=patients, visit__replaced_by=None),
        **(pad_questions(patients, worn_since) if worn_since else {}),
    }


def _link(found: dict[str, list]) -> None:
    """Rows know each other as if they had been joined; what has no partner says so."""
    one_of = {name: {row.pk: row for row in found[name]} for name in LINKED}
    named = {row.revision_id: row for row in found["named"]}
    program_of = {row.episode_id: row for row in found["programs"]}
    for episode in found["episodes"]:
        Episode.program.related.set_cached_value(episode, program_of.get(episode.id))
    for program in found["programs"]:
        program.episode = one_of["episodes"][program.episode_id]
    for revision in found["revisions"]:
        revision.program = one_of["programs"][revision.program_id]
        revision.stimulator = one_of["stimulators"][revision.stimulator_id]
        Revision.on_phone.related.set_cached_value(revision, named.get(revision.id))
    for pause in found["pauses"]:
        pause.program = one_of["programs"][pause.program_id]
    for hold in found["holds"]:
        hold.lift = one_of["lifts"].get(hold.lift_id)


def _add_programs(by_id: dict, found: dict[str, list]) -> None:
    for episode in sorted(found["episodes"], key=lambda one: (one.starts_on, one.limb)):
        by_id[episode.patient_id].episodes.append(episode)
    for revision in sorted(found["revisions"], key=lambda one: one.number):
        context = by_id[revision.program.patient_id]
        context.revisions[str(revision.program.episode_id)].append(revision)
    for pause in sorted(found["pauses"], key=lambda one: one.first_day):
        context = by_id[pause.program.patient_id]
        context.pauses[str(pause.program.episode_id)].append(pause)


def _add_judged(by_id: dict, found: dict[str, list]) -> None:
    for context in by_id.values():
        context.flags, context.tests, context.supervised = [], [], []
        context.pads = pad_rows(found) if "pad_news" in found else None
    for flag in found["flags"]:
        by_id[flag.patient_id].flags.append(flag)
    patient_of = {episode.id: episode.patient_id for episode in found["episodes"]}
    for test in sorted(found["tests"], key=lambda one: (one.on, one.recorded_at)):
        by_id[patient_of[test.episode_id]].tests.append(test)
    revisions = {revision.id: revision for revision in found["revisions"]}
    for bout in found["supervised"]:
        bout.revision = revisions.get(bout.revision_id)
        by_id[bout.patient_id].supervised.append(bout)
