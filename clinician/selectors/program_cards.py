"""Episodes with their home programs and revisions, ready to print."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID
from zoneinfo import ZoneInfo

from clinician.selectors.calendar import Week, weeks
from clinician.selectors.dose_words import dose_lines
from clinician.selectors.panel import course
from clinician.selectors.words import day_long, day_short, moment_short
from homeprogram.calc import guidance
from homeprogram.models import Episode, Pause, Revision, StimulatorSetting
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
    current: RevisionCard | None
    newest: RevisionCard | None
    revisions: list[RevisionCard]
    pauses: list[PauseLine]
    paused: PauseLine | None
    weeks: list[Week]


def episode_cards(
    context: Context, settings: Sequence[StimulatorSetting], names: dict[UUID, str], zone: ZoneInfo
) -> list[EpisodeCard]:
    """Open episodes first, newest first."""
    by_revision: dict[UUID, list[StimulatorSetting]] = defaultdict(list)
    for setting in settings:
        by_revision[setting.revision_id].append(setting)
    episodes = sorted(
        context.episodes, key=lambda e: (e.ended_on is not None, -e.starts_on.toordinal())
    )
    return [_episode_card(context, episode, by_revision, names, zone) for episode in episodes]


def _episode_card(
    context: Context,
    episode: Episode,
    settings: dict[UUID, list[StimulatorSetting]],
    names: dict[UUID, str],
    zone: ZoneInfo,
) -> EpisodeCard:
    program = getattr(episode, "program", None)
    rows = context.program_revisions(episode)
    current = _current(context, rows)
    cards = [
        revision_card(row, settings[row.id], names, zone, in_effect=row is current)
        for row in reversed(rows)
    ]
    pauses = [_pause_line(context, pause) for pause in context.pauses[str(episode.id)]]
    return EpisodeCard(
        id=episode.id,
        program_id=program.id if program else None,
        limb=episode.limb.upper(),
        course=course(context, episode),
        facts=list(_episode_facts(episode)),
        state="none" if program is None else "ended" if program.ended_on else "active",
        ended=_ended(program),
        current=next((card for card in cards if card.in_effect), None),
        newest=cards[0] if cards else None,
        revisions=cards,
        pauses=pauses,
        paused=next((line for line in pauses if line.running), None),
        weeks=weeks(context, episode) if rows else [],
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
    yield "Surgeon's limits", episode.surgeon_limits or "none recorded"


def revision_card(
    revision: Revision,
    settings: Sequence[StimulatorSetting],
    names: dict[UUID, str],
    zone: ZoneInfo,
    *,
    in_effect: bool,
) -> RevisionCard:
    return RevisionCard(
        id=revision.id,
        number=revision.number,
        made=f"{moment_short(revision.created_at, zone)}, {_name(revision.created_by_id, names)}",
        reason=revision.reason,
        first_day=day_long(revision.first_day),
        on_phone=_on_phone(revision),
        in_effect=in_effect,
        setting=_setting(settings, names, zone),
        source=_source(revision.family),
        dose=dose_lines(revision),
        exercises=[
            f"{one['name']} ({one['contraction_type']}). {one['how']}" for one in revision.exercises
        ],
    )


def _name(clinician_id: UUID, names: dict[UUID, str]) -> str:
    return names.get(clinician_id, "a clinician")


def _on_phone(revision: Revision) -> str:
    """Empty = not yet on the phone."""
    effective = planned(revision).effective_from
    return f"on the phone, in effect from {day_long(effective)}" if effective else ""


def _setting(settings: Sequence[StimulatorSetting], names: dict[UUID, str], zone: ZoneInfo) -> str:
    if not settings:
        return ""
    newest = max(settings, key=lambda setting: setting.set_at)
    note = f": {newest.note}" if newest.note else ""
    who = _name(newest.set_by_id, names)
    return f"set and read back {moment_short(newest.set_at, zone)}, {who}{note}"


def _source(code: str) -> str:
    if not code:
        return "from scratch"
    try:
        family = guidance.family(code)
    except KeyError:
        return code
    doi = f", doi {family.source.doi}" if family.source.doi else ""
    return f"{family.name}. {family.source.text}{doi} ({family.mark})"


def _pause_line(context: Context, pause: Pause) -> PauseLine:
    until = f"to {day_short(pause.last_day)}" if pause.last_day else "until somebody ends it"
    safety = "Safety pause" if pause.safety else "Pause"
    note = f". {pause.note}" if pause.note else ""
    words = f"{safety} for {pause.get_reason_display()}, {day_short(pause.first_day)} {until}{note}"
    running = pause.last_day is None or pause.last_day >= context.today
    return PauseLine(pause.id, words, running)
