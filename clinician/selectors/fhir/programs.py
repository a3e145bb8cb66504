"""The home program as CarePlan, each revision as ServiceRequest with its dose; the stimulators."""

from collections.abc import Iterator, Sequence
from datetime import date

from clinician.selectors.facts import PADS
from clinician.selectors.fhir.measures import answer, figure, intensities, measure
from clinician.selectors.fhir.rows import Rows
from clinician.selectors.fhir.values import (
    Part,
    concept,
    day,
    moment,
    note,
    part_of,
    quantity,
    ref,
    resource,
    text,
    told,
)
from clinician.selectors.words import listed
from homeprogram.models import Episode, HomeProgram, Revision, StimulatorProfile
from homeprogram.selectors.plans import planned

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
STIMULATION = concept(
    "procedure", "nmes_bout", "Neuromuscular electrical stimulation of the quadriceps, a bout"
)
FIGURES = (
    ("bout_min", "minutes", "min"),
    ("contractions_per_bout", "contractions", "contractions"),
    ("minimum_gap_h", "minimum_gap_h", "h"),
    ("frequency_hz", "frequency_hz", "Hz"),
    ("phase_duration_us", "phase_duration_us", "us"),
    ("on_s", "on_s", "s"),
    ("off_s", "off_s", "s"),
    ("ramp_up_s", "ramp_up_s", "s"),
    ("ramp_down_s", "ramp_down_s", "s"),
    ("electrode_cm2", "electrode_cm2", "cm2"),
    ("knee_angle_deg", "knee_angle_deg", "°"),
)


def programs(rows: Rows) -> Iterator[Part]:
    for episode in rows.context.episodes:
        if revisions := rows.context.program_revisions(episode):
            yield _care_plan(rows, episode, revisions)
            for before, revision in zip([None, *revisions], revisions, strict=False):
                yield _request(rows, episode, revision, before)
                yield _dose(rows, episode, revision)
            yield from _used(rows, episode, revisions)


def stimulators(rows: Rows) -> Iterator[Part]:
    """What kind of stimulator it was. No name: a clinic may have written a brand into it."""
    profiles = [one.stimulator for one in rows.context.every_revision]
    profiles += [v.bout.stimulator for v in rows.visits_as_they_stand if hasattr(v, "bout")]
    for profile in {one.id: one for one in profiles}.values():
        yield _device(profile)


def _status(rows: Rows, program: HomeProgram) -> str:
    if program.ended_on:
        return "completed"
    pauses = rows.context.pauses[str(program.episode_id)]
    return "on-hold" if any(one.covers(rows.context.today) for one in pauses) else "active"


def _care_plan(rows: Rows, episode: Episode, revisions: Sequence[Revision]) -> Part:
    program, first = episode.program, revisions[0]
    return resource(
        "CarePlan",
        program.id,
        status=_status(rows, program),
        intent="plan",
        title=f"Home program, {episode.limb} leg",
        subject=rows.subject,
        period=_span(first.first_day, program.ended_on),
        created=moment(program.created_at),
        author=rows.who(first.created_by_id),
        activity=[{"reference": ref("ServiceRequest", one.id)} for one in revisions],
        note=note(program.end_reason),
    )


def _followed(rows: Rows, revision: Revision) -> date | None:
    """The day from which the next one is in effect; until then the patient keeps to this one."""
    later = [
        planned(one).effective_from
        for one in rows.context.program_revisions(revision.program.episode)
        if one.number > revision.number
    ]
    begun = [on for on in later if on and on <= rows.context.today]
    return min(begun, default=None)


def _request(rows: Rows, episode: Episode, revision: Revision, before: Revision | None) -> Part:
    exercises = [f"{one['name']}. {one['how']}" for one in revision.exercises]
    author = rows.who(revision.created_by_id)
    made = moment(revision.created_at)
    return resource(
        "ServiceRequest",
        revision.id,
        basedOn=[ref("CarePlan", revision.program_id)],
        replaces=[ref("ServiceRequest", before.id)] if before else [],
        status="revoked" if _followed(rows, revision) else _status(rows, episode.program),
        intent="order",
        code=STIMULATION,
        subject=rows.subject,
        occurrenceTiming=_timing(episode, revision),
        authoredOn=made,
        requester=author,
        performer=[rows.subject],
        bodySite=[rows.limb(episode.id)],
        supportingInfo=[ref("Observation", part_of(revision.id, "dose"))],
        note=note(revision.reason, authorReference=author, time=made),
        patientInstruction=text("\n".join(exercises)),
    )


def _timing(episode: Episode, revision: Revision) -> Part:
    repeat = {
        "boundsPeriod": _span(revision.first_day, episode.program.ended_on),
        "duration": revision.bout_min,
        "durationUnit": "min",
        "frequency": revision.bouts_per_day,
        "period": 1,
        "periodUnit": "d",
        "dayOfWeek": [WEEKDAYS[one] for one in revision.weekdays],
    }
    return {"repeat": told(**repeat)}


def _span(first: date, last: date | None) -> Part:
    """Without a start where it was over before it began: FHIR lets no period run backwards."""
    began = last is None or first <= last
    return told(start=day(first if began else None), end=day(last))


def _dose(rows: Rows, episode: Episode, revision: Revision) -> Part:
    pads = [PADS[pad] for pad in revision.pads]
    figures = [figure(code, getattr(revision, name), unit) for name, code, unit in FIGURES]
    wave = concept("waveform", revision.waveform, revision.get_waveform_display())
    return resource(
        "Observation",
        part_of(revision.id, "dose"),
        basedOn=[ref("ServiceRequest", revision.id)],
        status="final",
        code=measure("dose"),
        subject=rows.subject,
        effectiveDateTime=day(revision.first_day),
        issued=moment(revision.created_at),
        performer=[rows.who(revision.created_by_id)],
        bodySite=rows.limb(episode.id),
        device=ref("Device", revision.stimulator_id),
        component=[
            *[one for found in figures for one in found],
            *answer("waveform", valueCodeableConcept=wave),
            *answer("ramps_inside_on", valueBoolean=revision.ramps_inside_on),
            *answer("voluntary_in_off", valueBoolean=revision.voluntary_in_off),
            *answer("knee_range", valueString=text(revision.knee_range)),
            *answer("position", valueString=text(revision.position)),
            *answer("pads", valueString=listed(pads)),
            *intensities(revision.intensity, revision.stimulator.unit),
        ],
    )


def _used(rows: Rows, episode: Episode, revisions: Sequence[Revision]) -> Iterator[Part]:
    """One statement a stimulator, over all revisions that name it."""
    program = episode.program
    for profile in dict.fromkeys(one.stimulator_id for one in revisions):
        naming = [one for one in revisions if one.stimulator_id == profile]
        end = program.ended_on or _followed(rows, naming[-1])
        yield resource(
            "DeviceUseStatement",
            part_of(program.id, str(profile)),
            basedOn=[ref("ServiceRequest", one.id) for one in naming],
            status="completed" if end else "active",
            subject=rows.subject,
            timingPeriod=_span(naming[0].first_day, end),
            recordedOn=moment(naming[0].created_at),
            device=ref("Device", profile),
            bodySite=rows.limb(episode.id),
        )


def _device(profile: StimulatorProfile) -> Part:
    most = (
        ("channels", profile.channels, "channels"),
        ("max_intensity", profile.max_intensity, profile.unit),
        ("min_frequency_hz", profile.min_frequency_hz, "Hz"),
        ("max_frequency_hz", profile.max_frequency_hz, "Hz"),
        ("max_phase_duration_us", profile.max_phase_duration_us, "us"),
    )
    wave = concept("waveform", profile.waveform, profile.get_waveform_display())
    return resource(
        "Device",
        profile.id,
        type=concept("device", "stimulator", "Neuromuscular electrical stimulator"),
        property=[
            *[
                {"type": measure(code), "valueQuantity": [quantity(value, unit)]}
                for code, value, unit in most
            ],
            {"type": measure("waveform"), "valueCode": [wave]},
        ],
    )
