"""From the figures of a request to a dose, or a refusal that names the slip."""

from dataclasses import dataclass
from math import isfinite

from homeprogram.calc import dose, slips
from homeprogram.calc import electrical as el
from homeprogram.calc.dose_errors import ImpossibleDose, Slip

WAVEFORMS = ("monophasic", "symmetric_biphasic", "asymmetric_biphasic", "burst_ac")
CURRENTS = ("intensity_ma", "second_phase_ma")
REQUIRED = (
    "frequency_hz",
    "intensity_ma",
    "on_s",
    "off_s",
    "ramp_up_s",
    "ramp_down_s",
    "ramps_inside_on",
    "bouts_per_day",
    "days_per_week",
    "weeks",
    "electrode_cm2",
)
# A train without a current of its own still has to fit between two pulses.
PLACEHOLDER_MA = 1.0


@dataclass(frozen=True)
class Dose:
    """A possible dose; `train` is None while no intensity is known."""

    timing: dose.Timing
    contractions: int
    bout_min: float
    volume: dose.Volume
    count_last_rest: bool
    phase_us: float
    train: el.Train | None


def read_dose(request: dict) -> Dose:
    """The dose a request describes.

    Raises ImpossibleDose with every field that cannot be, and the likely value
    where a slip of unit explains it.
    """
    _check_pairs(request)
    _check_bounds(request)
    phase_us = _phase_us(request)
    train = _train(request, phase_us)
    _check_fits(request, train)
    timing = _timing(request)
    contractions, bout_min = _length(request, timing)
    return Dose(
        timing=timing,
        contractions=contractions,
        bout_min=bout_min,
        volume=dose.volume(
            contractions=contractions,
            bouts_per_day=request["bouts_per_day"],
            days_per_week=request["days_per_week"],
            weeks=request["weeks"],
        ),
        count_last_rest=request.get("count_last_rest", True),
        phase_us=phase_us,
        train=None if request["intensity_ma"] is None else train,
    )


def refuse(code: str, field: str, message: str, *found: Slip) -> ImpossibleDose:
    return ImpossibleDose(message, code=code, fields={field: message}, slips=found)


def given(request: dict, *names: str) -> list[str]:
    return [name for name in names if request.get(name) is not None]


def _check_pairs(request: dict) -> None:
    waveform = request.get("waveform")
    if waveform not in WAVEFORMS:
        raise refuse("waveform_unknown", "waveform", f"One of {', '.join(WAVEFORMS)}.")
    for name in REQUIRED:
        if name not in request:
            raise refuse("field_missing", name, "This figure is needed.")
    if len(given(request, "phase_duration_us", "pulse_duration_us")) != 1:
        sentence = "Give the phase duration or the pulse duration, not both."
        raise refuse("duration_pair", "phase_duration_us", sentence)
    if len(given(request, "bout_min", "contractions")) != 1:
        sentence = "Give the minutes of a bout or its contractions, not both."
        raise refuse("length_pair", "bout_min", sentence)
    if waveform == "burst_ac" and len(given(request, "carrier_hz", "burst_ms")) != 2:
        sentence = "A burst needs its carrier frequency and its length in ms."
        raise refuse("burst_incomplete", "carrier_hz", sentence)
    second = given(request, "second_phase_duration_us", "second_phase_ma")
    if waveform == "asymmetric_biphasic" and not second:
        sentence = "Give the length or the current of the second phase."
        raise refuse("second_phase_missing", "second_phase_duration_us", sentence)


def _check_bounds(request: dict) -> None:
    fields, found, code = {}, [], "out_of_bounds"
    for name in given(request, *slips.BOUNDS):
        value = request[name]
        if isfinite(value) and slips.in_bounds(name, value):
            continue
        fields[name], slip = slips.refusal(name, value)
        if slip:
            found.append(slip)
    if not fields:
        return
    if found:
        code = "unit_slip"
    message = " ".join(fields.values())
    if _periods(request) >= 1:
        code = "pulse_does_not_fit"
        message = f"A pulse would fill {_periods(request):.3g} periods. {message}"
    raise ImpossibleDose(message, code=code, fields=fields, slips=tuple(found))


def _periods(request: dict) -> float:
    """How many times the time between two pulses the phase or pulse alone would fill."""
    name = given(request, "phase_duration_us", "pulse_duration_us")[0]
    return request[name] * request["frequency_hz"] / 1e6


def _phase_us(request: dict) -> float:
    pulse = request.get("pulse_duration_us")
    if pulse is None:
        return request["phase_duration_us"]
    if request["waveform"] == "monophasic":
        return pulse
    if request["waveform"] != "symmetric_biphasic":
        sentence = "A pulse can be halved into phases only when it is symmetric."
        raise refuse("pulse_duration_symmetric_only", "pulse_duration_us", sentence)
    phase = el.phase_from_pulse_us(pulse, request.get("interphase_us") or 0)
    if phase <= 0:
        sentence = "The interphase interval is longer than the whole pulse."
        raise refuse("interphase_too_long", "interphase_us", sentence)
    return phase


def _train(request: dict, phase_us: float) -> el.Train:
    ma = request["intensity_ma"]
    ma = PLACEHOLDER_MA if ma is None else ma
    frequency = request["frequency_hz"]
    interphase = request.get("interphase_us") or 0
    if request["waveform"] == "burst_ac":
        return _burst(request, phase_us, ma)
    if request["waveform"] == "monophasic":
        return el.monophasic(frequency_hz=frequency, ma=ma, phase_us=phase_us)
    if request["waveform"] == "symmetric_biphasic":
        return el.symmetric_biphasic(
            frequency_hz=frequency, ma=ma, phase_us=phase_us, interphase_us=interphase
        )
    return el.asymmetric_biphasic(
        frequency_hz=frequency,
        ma=ma,
        phase_us=phase_us,
        second_us=request.get("second_phase_duration_us"),
        second_ma=request.get("second_phase_ma"),
        interphase_us=interphase,
    )


def _burst(request: dict, phase_us: float, ma: float) -> el.BurstTrain:
    frequency = request["frequency_hz"]
    if request.get("bursts_per_s", frequency) not in (None, frequency):
        sentence = "With bursts the frequency is the number of bursts a second."
        raise refuse("burst_frequency_differs", "frequency_hz", sentence)
    train = el.BurstTrain(frequency, request["burst_ms"], request["carrier_hz"], ma)
    if abs(train.phase_us - phase_us) > 0.005 * train.phase_us:
        sentence = (
            f"Half a period of {train.carrier_hz:g} Hz lasts {train.phase_us:g} µs,"
            f" not {phase_us:g} µs."
        )
        slip = Slip("phase_duration_us", phase_us, round(train.phase_us, 3), "µs")
        raise refuse("burst_phase_differs", "phase_duration_us", sentence, slip)
    return train


def _check_fits(request: dict, train: el.Train) -> None:
    if isinstance(train, el.BurstTrain):
        if train.occupied > 1 or train.periods_per_burst < 1:
            sentence = "A burst holds at least one carrier period and ends before the next."
            raise refuse("burst_does_not_fit", "burst_ms", sentence)
        return
    if train.occupied < 1:
        return
    period_us = 1e6 / train.frequency_hz
    sentence = (
        f"A pulse of {train.pulse_us:g} µs does not fit into the {period_us:g} µs from"
        f" one pulse to the next at {train.frequency_hz:g} Hz. A carrier frequency"
        " belongs to burst_ac."
    )
    name = given(request, "phase_duration_us", "pulse_duration_us")[0]
    found = slips.likely_slip(name, request[name])
    raise refuse("pulse_does_not_fit", name, sentence, *(found[:1] if found else ()))


def _timing(request: dict) -> dose.Timing:
    inside = request["ramps_inside_on"]
    timing = dose.Timing(
        request["on_s"],
        request["off_s"],
        request["ramp_up_s"],
        request["ramp_down_s"],
        dose.RampConvention.INSIDE if inside else dose.RampConvention.OUTSIDE,
    )
    if dose.plateau_s(timing) < -dose.ROUNDING:
        sentence = (
            f"Ramps of {timing.ramp_up_s:g} s and {timing.ramp_down_s:g} s are longer"
            f" than the {timing.on_s:g} s on time that holds them."
        )
        raise refuse("ramps_longer_than_on", "on_s", sentence)
    return timing


def _length(request: dict, timing: dose.Timing) -> tuple[int, float]:
    extra = {
        "count_last_rest": request.get("count_last_rest", True),
        "warmup_min": request.get("warmup_min") or 0,
        "recovery_min": request.get("recovery_min") or 0,
    }
    contractions, bout_min = request.get("contractions"), request.get("bout_min")
    if contractions is not None:
        return contractions, dose.bout_minutes(timing, contractions=contractions, **extra)
    contractions = dose.contractions_in(timing, bout_min=bout_min, **extra)
    if contractions == 0:
        sentence = f"Not one contraction fits into {bout_min:g} min."
        found = slips.likely_slip("bout_min", bout_min)
        raise refuse("bout_too_short", "bout_min", sentence, *(found[:1] if found else ()))
    return contractions, bout_min
