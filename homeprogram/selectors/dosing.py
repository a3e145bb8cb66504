"""What a dose is held against: the clinic's stimulators, families and course rules."""

from uuid import UUID

from homeprogram.calc.guidance import Family
from homeprogram.calc.own_family import own_family
from homeprogram.calc.stimulator import StimulatorLimits
from homeprogram.models import Clinic, ClinicFamily, StimulatorProfile


def stimulator_limits(*, clinic: Clinic, stimulator_id: UUID) -> StimulatorLimits | None:
    """What a stimulator of this clinic can deliver; another clinic's is None."""
    profile = StimulatorProfile.objects.filter(clinic=clinic, id=stimulator_id).first()
    return limits_of_stimulator(profile) if profile else None


def limits_of_stimulator(profile: StimulatorProfile) -> StimulatorLimits:
    return StimulatorLimits(
        name=profile.name,
        waveforms=(profile.waveform,),
        unit=profile.unit,
        max_intensity=profile.max_intensity,
        min_frequency_hz=profile.min_frequency_hz,
        max_frequency_hz=profile.max_frequency_hz,
        max_phase_duration_us=profile.max_phase_duration_us,
    )


def clinic_family(*, clinic: Clinic, code: str) -> Family | None:
    """The clinic's own family of that id; None for a code of ours or a foreign id."""
    try:
        key = UUID(code)
    except ValueError:
        return None
    row = ClinicFamily.objects.filter(clinic=clinic, id=key).first()
    if row is None:
        return None
    return own_family(code=str(row.id), name=row.name, source=row.source, values=row.values)
