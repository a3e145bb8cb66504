"""Episodes with their home programs and revisions, ready to print."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import OuterRef, QuerySet, Subquery

from clinician.selectors.calendar import Week, weeks
from clinician.selectors.dose_words import dose_in_short, dose_lines
from clinician.selectors.panel_row import course
from clinician.selectors.words import day_long, day_short, moment_short
from homeprogram.calc import guidance
from homeprogram.models import Episode, Pause, PauseReason, Revision, StimulatorSetting
from homeprogram.selectors.plans import Context, planned


@dataclass(frozen=True, slots=True)
class RevisionCard:
    id: UUID
    number: int
    made: str
    reason: str
    first_day: str
    on_phone: str
    in_effect: bool
    setting: str  # empty = stimulator not yet set
    source: str
    in_short: str
    dose: list[tuple[str, str]]
    exercises: list[str]


@dataclass(frozen=True, slots=True)
class PauseLine:
    id: UUID
    words: str
    running: bool


@dataclass(frozen=True, slots=True)
class EpisodeCard:
    id: UUID
    program_id: UUID | None
    limb: str
    course: str
    facts: list[tuple[str, str]]
    state: str  # none, active, ended
    ended: str
    open: bool  # the episode itself has not ended
    current: RevisionCard | None
    newest: RevisionCard | None
    revisions: list[RevisionCard]
    pauses: list[PauseLine]
    paused: PauseLine | None
    weeks: list[Week]


def revisions_made() -> QuerySet[Revision]:
    """With what the rules need not know: by whom, for which stimulator, set when."""
    newest = StimulatorSetting.objects.filter(revision=OuterRef("pk")).order_by("-set_at")
    rows = Revision.objects.annotate(
        set_at=Subquery(newest.values("set_at")[:1]),
        set_by=Subquery(newest.values("set_by__name")[:1]),
        set_note=Subquery(newest.values("note")[:1]),
    )
    return rows.select_related("stimulator", "created_by")


def episode_cards(
    context: Context, zone: ZoneInfo, later: Collection[tuple[str, date]]
) -> list[EpisodeCard]:
    """Open episodes first, newest first; the context holds `revisions_made`.

    `later` = limb and day of bouts filled in afterwards.
    """
    episodes = sorted(
        context.episodes, key=lambda e: (e.ended_on is not None, -e.starts_on.toordinal())
    )
    return [_episode_card(context, episode, zone, later) for episode in episodes]


def _episode_card(
    context: Context, episode: Episode, zone: ZoneInfo, later: Collection[tuple[str, date]]
) -> EpisodeCard:
    program = getattr(episode, "program", None)
    rows = context.program_revisions(episode)
    current = _current(context, rows)
    cards = [revision_card(row, zone, in_effect=row is current) for row in reversed(rows)]
    pauses = [_pause_line(context, pause) for pause in context.pauses[str(episode.id)]]
    return EpisodeCard(
        id=episode.id,
        program_id=program.id if program else None,
        limb=episode.limb.upper(),
        course=course(context, episode),
        facts=list(_episode_facts(episode)),
        state="none" if program is None else "ended" if program.ended_on else "active",
        ended=_ended(program),
        open=episode.ended_on is None,
        current=next((card for card in cards if card.in_effect), None),
        newest=cards[0] if cards else None,
        revisions=cards,
        pauses=pauses,
        paused=next((line for line in pauses if line.running), None),
        weeks=weeks(context, episode, later) if rows else [],
    )


def _current(context: Context, rows: Sequence[Revision]) -> Revision | None:
    today = context.today
    in_effect = [r for r in rows if (day := planned(r).effective_from) and day <= today]
    return in_effect[-1] if in_effect else None


def _ended(program: object) -> str:
    if program is None or program.ended_on is None:
        return ""
    return f"Ended on {day_long(program.ended_on)}: {program.end_reason}"


def _episode_facts(episode: Episode):
    yield "Pathway", episode.get_pathway_display()
    if episode.procedure:
        yield "Procedure", episode.procedure
    if episode.surgery_on:
        yield "Surgery", day_long(episode.surgery_on)
    yield "Episode since", day_long(episode.starts_on)
    if episode.surgeon_limits:
        yield "In the surgeon's words", episode.surgeon_limits


def revision_card(revision: Revision, zone: ZoneInfo, *, in_effect: bool) -> RevisionCard:
    return RevisionCard(
        id=revision.id,
        number=revision.number,
        made=f"{moment_short(revision.created_at, zone)}, {revision.created_by.name}",
        reason=revision.reason,
        first_day=day_long(revision.first_day),
        on_phone=_on_phone(revision),
        in_effect=in_effect,
        setting=_setting(revision, zone),
        source=_source(revision),
        in_short=dose_in_short(revision),
        dose=dose_lines(revision),
        exercises=[
            f"{one['name']} ({one['contraction_type']}). {one['how']}" for one in revision.exercises
        ],
    )


def _on_phone(revision: Revision) -> str:
    """Empty = not yet on the phone."""
    effective = planned(revision).effective_from
    return f"on the phone, in effect from {day_long(effective)}" if effective else ""


def _setting(made: Revision, zone: ZoneInfo) -> str:
    if made.set_at is None:
        return ""
    note = f": {made.set_note}" if made.set_note else ""
    return f"set and read back {moment_short(made.set_at, zone)}, {made.set_by}{note}"


def _source(revision: Revision) -> str:
    if not revision.family:
        return "from scratch"
    try:
        family = guidance.family(revision.family)
    except KeyError:
        # The clinic's own: its name was written down with the revision.
        return (revision.details or {}).get("family_name") or revision.family
    doi = f", doi {family.source.doi}" if family.source.doi else ""
    return f"{family.name}. {family.source.text}{doi} ({family.mark})"


def _pause_line(context: Context, pause: Pause) -> PauseLine:
    until = f"to {day_short(pause.last_day)}" if pause.last_day else "until somebody ends it"
    safety = "Safety pause" if pause.safety else "Pause"
    note = f". {pause.note.rstrip('.')}" if pause.note else ""
    other = pause.reason == PauseReason.OTHER
    why = "" if other else f" for {pause.get_reason_display().lower()}"
    words = f"{safety}{why}, {day_short(pause.first_day)} {until}{note}"
    running = pause.last_day is None or pause.last_day >= context.today
    return PauseLine(pause.id, words, running)
