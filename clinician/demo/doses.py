"""The doses of the demo: published families, fitted to a patient by their clinician."""

from dataclasses import dataclass

from homeprogram.calc.dose import RampConvention, Timing, bout_minutes, contractions_in
from homeprogram.calc.exercises import for_phone
from homeprogram.calc.guidance import Family, family
from homeprogram.calc.schedule import default_weekdays
from homeprogram.services.programs import Dose

EXTENSION = for_phone("isometric_extension")
THIGH_SET = for_phone("quad_set")
USUAL_PADS = ("upper_outer", "lower_inner")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What the clinician chose for one limb; None = as the family says.

    `start`, `floor` and `ceiling` are of the first channel [mA], from the
    supervised first bout; the second channel needs a little less.
    """

    family: str
    start: int
    floor: int
    ceiling: int
    weekdays: tuple[int, ...] | None = None
    bouts_per_day: int | None = None
    pads: tuple[str, ...] = USUAL_PADS
    second_channel_less: int = 4


def dose_of(wanted: Wanted) -> Dose:
    source = family(wanted.family)
    contractions, minutes = _length(source)
    return Dose(
        weekdays=wanted.weekdays or default_weekdays(source.days_per_week),
        bouts_per_day=wanted.bouts_per_day or source.bouts_per_day,
        contractions_per_bout=contractions,
        bout_min=minutes,
        waveform=source.waveform,
        frequency_hz=source.frequency_hz,
        phase_duration_us=source.phase_duration_us,
        on_s=source.on_s,
        off_s=source.off_s,
        ramp_up_s=source.ramp_up_s,
        ramp_down_s=source.ramp_down_s,
        ramps_inside_on=source.ramps_inside_on,
        electrode_cm2=source.electrode_cm2,
        intensity=_intensity(wanted),
        position=source.position,
        exercises=(EXTENSION, THIGH_SET),
        pads=wanted.pads,
        knee_angle_deg=source.knee_angle_deg,
        family=source.code,
    )


def _length(source: Family) -> tuple[int, float]:
    """Contractions and minutes of one bout; a family states the one or the other."""
    convention = RampConvention.INSIDE if source.ramps_inside_on else RampConvention.OUTSIDE
    timing = Timing(source.on_s, source.off_s, source.ramp_up_s, source.ramp_down_s, convention)
    if source.contractions_per_bout:
        count = source.contractions_per_bout
        return count, bout_minutes(timing, contractions=count)
    return contractions_in(timing, bout_min=source.bout_min), source.bout_min


def _intensity(wanted: Wanted) -> tuple[dict, ...]:
    return tuple(
        {
            "channel": channel,
            "start": wanted.start - less,
            "floor": wanted.floor - less,
            "ceiling": wanted.ceiling - less,
        }
        for channel, less in ((1, 0), (2, wanted.second_channel_less))
    )
