"""The panel: who is shown, in which order, and the rows of one page.

The number of queries is the same for one patient and for five thousand: everybody
is placed by a few columns, and only the rows of the page are read in full.
"""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from uuid import UUID

from clinician.selectors import order, panel_choice
from clinician.selectors.duty import Staff, Waiting, covered_by, staff_lately, waiting_of
from clinician.selectors.heartbeat import SilentJob, silent_jobs
from clinician.selectors.lately import Lately, lately_of
from clinician.selectors.open_matters import OpenMatters, open_matters
from clinician.selectors.order import Standing
from clinician.selectors.panel_choice import MINE, Choice
from clinician.selectors.panel_row import STRIP_DAYS, Row, row_of
from clinician.selectors.places import standings
from clinician.selectors.words import ago, listed
from homeprogram.models import Clinician, Patient
from homeprogram.selectors.plans import Context, contexts

PAGE = 60  # rows
SILENCE = timedelta(hours=24)
GROUPS = (
    ("safety", "Safety", {"stop_report", "skin_reaction", "something_changed"}),
    ("look", "Needs a look", {"rule_failed"}),
    ("contact", "Asks for contact", {"contact_wanted"}),
    (
        "felt",
        "Pain, discomfort, too much",
        {"knee_pain_worse", "discomfort_worse", "over_ceiling", "over_use"},
    ),
    ("dose", "Days and dose", {"missed_days", "under_dose", "intensity_below_effective"}),
    ("data", "Pads, log and phone", {"pads_due", "held_entry", "lost_entries", "no_contact"}),
    (
        "review",
        "To review when convenient",
        {"stimulator_at_limit", "dose_review_due", "strength_test_due", "course_review_due"},
    ),
    ("hold", "On hold", {order.HOLD}),
)
QUIET_GROUP = ("quiet", "Nothing raised")
SORTED_GROUP = ("sorted", "Everybody else")
GROUP_OF = {reason: (code, title) for code, title, codes in GROUPS for reason in codes}
JOBS = {
    "flags": "judged flags",
    "reminders": "sent reminders",
    "mail": "sent staff mail",
    "photos": "removed old photos",
}


@dataclass(frozen=True, slots=True)
class Group:
    """Neighbours on the page whose reason is of one kind."""

    code: str
    title: str
    first: int  # place of its first row on the whole panel
    count: int  # on the whole panel, not only on this page
    rows: list[Row]


@dataclass(frozen=True, slots=True)
class Panel:
    """One page of the panel, and what is known of the rest."""

    groups: list[Group]
    total: int  # current patients of the clinic
    shown: int  # that fit what is asked for
    page: int
    pages: int
    order: str
    scales: list[str]
    safety_elsewhere: int  # safety flags that the filters would hide
    silence: list[str]  # what has not been heard of for a day


def panel(*, me: Clinician, now: datetime, choice: Choice, name: str = "") -> Panel:
    """`name` = only patients of that name; it comes in a form, never in an address."""
    words = panel_choice.plain(name).split()
    everybody = standings(
        clinic=me.clinic, now=now, with_courses=choice.asks_for_courses and not words
    )
    staff, away = None, {}
    if choice.whose == MINE and not words:
        staff = staff_lately(clinic=me.clinic, at=now)
        away = covered_by(clinician=me, at=now, staff=staff)
    fitting = _fitting(everybody, {me.id, *away}, now, choice, words)
    ordered = sorted(fitting, key=order.key_of(choice.sort))
    pages = max(1, -(-len(ordered) // PAGE))
    page = min(choice.page, pages)
    first = PAGE * (page - 1)
    shown = ordered[first : first + PAGE]
    rows, recent = _rows(shown, away, now, staff)
    hidden = {one.id for one in everybody if one.safety} - {one.id for one in fitting}
    return Panel(
        groups=_groups(ordered, shown, rows, first, choice.sort),
        total=len(everybody),
        shown=len(ordered),
        page=page,
        pages=pages,
        order=order.explained(choice.sort),
        scales=[scale.words for scale in recent.scales],
        safety_elsewhere=len(hidden),
        silence=_silence(everybody, silent_jobs(now=now), now),
    )


def _fitting(
    everybody: Sequence[Standing],
    mine: Collection[UUID],
    now: datetime,
    choice: Choice,
    words: Sequence[str],
) -> list[Standing]:
    """A search goes through the whole clinic, whatever else is chosen."""
    if words:
        return panel_choice.named_like(everybody, words)
    return [one for one in everybody if choice.fits(one, mine, now)]


def _rows(
    shown: Sequence[Standing], away: Mapping[UUID, str], now: datetime, staff: Staff | None
) -> tuple[dict[UUID, Row], Lately]:
    ids = [one.id for one in shown]
    patients = list(Patient.objects.filter(id__in=ids).select_related("clinician", "clinic"))
    read = contexts(patients=patients, now=now, days_back=STRIP_DAYS)
    recent = lately_of(contexts=read, since=(now - timedelta(days=STRIP_DAYS + 1)).date())
    matters = open_matters(patients=patients, now=now)
    waits = _waits(read, matters, now, staff)
    rows = (
        row_of(
            one,
            recent,
            matters,
            waits,
            covering=one.patient.clinician_id in away,
        )
        for one in read
    )
    return {row.id: row for row in rows}, recent


def _waits(
    read: Sequence[Context], matters: OpenMatters, now: datetime, staff: Staff | None
) -> dict[UUID, Waiting]:
    """For whom the unseen safety flags of this page wait."""
    flags = []
    for context in read:
        for flag in matters.flags.get(context.patient.id, ()):
            flag.patient = context.patient  # read already
            flags.append(flag)
    if not flags:
        return {}
    return waiting_of(clinic=read[0].patient.clinic, flags=flags, at=now, staff=staff)


def _groups(
    ordered: Sequence[Standing],
    shown: Sequence[Standing],
    rows: dict[UUID, Row],
    first: int,
    sort: str,
) -> list[Group]:
    counts: dict[tuple, int] = defaultdict(int)
    for one in ordered:
        counts[_group(one, sort)] += 1
    on_page: dict[tuple, list[tuple[int, Row]]] = defaultdict(list)
    for place, one in enumerate(shown, start=first + 1):
        on_page[_group(one, sort)].append((place, rows[one.id]))
    return [
        Group(*group, first=several[0][0], count=counts[group], rows=[row for _, row in several])
        for group, several in on_page.items()
    ]


def _group(standing: Standing, sort: str) -> tuple[str, str]:
    """Sorted otherwise, only safety keeps a heading of its own."""
    place = order.rank(standing)
    if sort in order.SORTS and not standing.safety:
        return SORTED_GROUP
    return QUIET_GROUP if place == order.QUIET else GROUP_OF[order.RANKS[place]]


def _silence(everybody: Sequence[Standing], jobs: Sequence[SilentJob], now: datetime) -> list[str]:
    """What should be heard of daily and was not: the clock's jobs, any phone at all."""
    never = [JOBS.get(one.job, one.job) for one in jobs if one.since is None]
    late = [one for one in jobs if one.since and now - one.since > SILENCE]
    last = [f"{JOBS.get(one.job, one.job)} {ago(one.since, now)}" for one in late]
    said = [f"The server's clock has never {listed(never)}."] if never else []
    said += [f"The server's clock last {listed(last)}."] if last else []
    heard = [one.heard_at for one in everybody if one.heard_at]
    if heard and now - max(heard) > SILENCE:
        newest = ago(max(heard), now)
        said.append(f"No phone of this clinic was heard since {newest}: is the server reached?")
    return said
