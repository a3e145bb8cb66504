"""Visits: measures, and the bout done under the clinician's eyes."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date, datetime, timedelta

from django.db import IntegrityError, transaction

from homeprogram.calc.days import local_day, zone_or_utc
from homeprogram.calc.first_dose import ChannelIntensity, check_channel
from homeprogram.calc.limits import BOUT_MINUTES_MAX, CONTRACTIONS_MAX
from homeprogram.calc.measures import checked
from homeprogram.errors import RuleBroken
from homeprogram.models import Clinician, Episode, Patient, StimulatorProfile, SupervisedBout, Visit
from homeprogram.selectors.visits import revision_measured_against
from homeprogram.services.changes import flags_look_soon, patient_lock
from homeprogram.services.projections import visit_days_project


@dataclass(frozen=True, slots=True, kw_only=True)
class BoutSeen:
    """A supervised bout as it was seen; `intensity` = {channel, start, floor, ceiling}."""

    stimulator: StimulatorProfile
    started_at: datetime
    minutes: float
    contractions: int
    intensity: Sequence[dict]
    contraction: str
    discomfort: int
    skin_before: int
    skin_after: int
    on_phone: bool = False


@transaction.atomic
def visit_record(
    *,
    episode: Episode,
    by: Clinician,
    kind: str,
    on: date,
    note: str,
    now: datetime,
    measures: Mapping[str, object] | None = None,
    bout: BoutSeen | None = None,
    replaces: Visit | None = None,
) -> Visit:
    """A visit with what was measured and seen; `replaces` = the version it corrects."""
    patient = patient_lock(patient_id=episode.patient_id)
    zone = zone_or_utc(patient.zone)
    if on > local_day(now, zone):
        message = "A visit cannot be on a day to come."
        raise RuleBroken(message, code="visit_to_come", fields={"on": message})
    kept = checked(measures or {})
    if not (note.strip() or kept or bout):
        message = "Write a note, a measure or a supervised bout."
        raise RuleBroken(message, code="visit_empty", fields={"note": message})
    visit = Visit(
        clinic=episode.clinic,
        episode=episode,
        kind=kind,
        on=on,
        note=note.strip(),
        measures=kept,
        replaces=replaces,
        recorded_by=by,
        recorded_at=now,
    )
    visit.full_clean(validate_constraints=False, validate_unique=False)
    _keep(visit)
    if bout:
        _refuse_odd(bout, visit, local_day(bout.started_at, zone), now)
        _bout_keep(visit, bout)
    # A correction may move a bout to another day, and to the other limb.
    for one in (visit, replaces):
        if one and hasattr(one, "bout"):
            visit_days_project(patient=patient, episode_id=one.episode_id, days={one.on})
            flags_look_soon(patients=Patient.objects.filter(id=patient.id))
    return visit


def _keep(visit: Visit) -> None:
    try:
        with transaction.atomic():
            visit.save()
    except IntegrityError:
        if visit.replaces is None:
            raise
        message = "Somebody corrected this visit already. Look at the newer version."
        raise RuleBroken(message, code="visit_corrected") from None


def _bout_keep(visit: Visit, bout: BoutSeen) -> None:
    row = SupervisedBout(
        clinic=visit.clinic,
        patient=visit.episode.patient,
        episode=visit.episode,
        visit=visit,
        revision=revision_measured_against(episode=visit.episode, on=visit.on),
        on=visit.on,
        **asdict(bout) | {"stimulator": bout.stimulator, "intensity": list(bout.intensity)},
    )
    row.full_clean()
    row.save()


def _refuse_odd(bout: BoutSeen, visit: Visit, day: date, now: datetime) -> None:
    fields = {}
    if visit.kind == "telephone":
        fields["kind"] = "A bout is supervised face to face, not by telephone."
    if day != visit.on or bout.started_at > now + timedelta(minutes=15):
        fields["started"] = "The bout began on the day of the visit, not later than now."
    if not 0 < bout.minutes <= BOUT_MINUTES_MAX:
        fields["bout_min"] = f"More than 0, at most {BOUT_MINUTES_MAX} minutes."
    if not 0 < bout.contractions <= CONTRACTIONS_MAX:
        fields["contractions"] = f"More than 0, at most {CONTRACTIONS_MAX}."
    if not bout.intensity:
        fields["ceiling_1"] = "Give start, floor and ceiling of at least one channel."
    if fields:
        message = " ".join(fields.values())
        raise RuleBroken(message, code="supervised_bout_invalid", fields=fields)
    for one in bout.intensity:
        levels = ChannelIntensity(one["start"], one["floor"], one["ceiling"])
        check_channel(levels, stimulator_max=bout.stimulator.max_intensity)
