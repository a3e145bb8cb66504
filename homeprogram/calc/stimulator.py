"""What one kind of stimulator can deliver, against what a dose asks of it."""

from dataclasses import dataclass

from homeprogram.calc import strength_duration as sd
from homeprogram.calc.findings import CANNOT, Finding, note
from homeprogram.calc.guidance import Source


@dataclass(frozen=True)
class StimulatorLimits:
    """The clinic's own entry on a stimulator; an unknown bound is None.

    max_intensity is in mA, or in display levels where `unit` says so: then it
    cannot be held against a current.
    """

    name: str
    waveforms: tuple[str, ...] = ()
    unit: str = "mA"
    max_intensity: float | None = None
    min_frequency_hz: float | None = None
    max_frequency_hz: float | None = None
    max_phase_duration_us: float | None = None


def cannot_deliver(request: dict, phase_us: float, limits: StimulatorLimits) -> list:
    """One finding for each thing this stimulator cannot do; empty when it can all."""
    return [
        *_waveform(request["waveform"], limits),
        *_frequency(request["frequency_hz"], limits),
        *_intensity(request["intensity_ma"], limits),
        *_phase(request, phase_us, limits),
    ]


def _finding(code: str, message: str, limits: StimulatorLimits) -> Finding:
    source = Source(f"The clinic's profile of the stimulator '{limits.name}'")
    return note(f"stimulator_{code}", message, level=CANNOT, source=source, mark="clinic")


def _waveform(waveform: str, limits: StimulatorLimits) -> list[Finding]:
    if not limits.waveforms or waveform in limits.waveforms:
        return []
    can = ", ".join(limits.waveforms).replace("_", " ")
    message = f"Waveform {waveform.replace('_', ' ')}: this stimulator gives {can}."
    return [_finding("waveform", message, limits)]


def _frequency(frequency: float, limits: StimulatorLimits) -> list[Finding]:
    low, high = limits.min_frequency_hz, limits.max_frequency_hz
    if low is not None and frequency < low:
        message = f"Frequency {frequency:g} Hz: this stimulator starts at {low:g} Hz."
        return [_finding("frequency", message, limits)]
    if high is not None and frequency > high:
        message = f"Frequency {frequency:g} Hz: this stimulator ends at {high:g} Hz."
        return [_finding("frequency", message, limits)]
    return []


def _intensity(ma: float | None, limits: StimulatorLimits) -> list[Finding]:
    if ma is None or limits.max_intensity is None or limits.unit != "mA":
        return []
    if ma <= limits.max_intensity:
        return []
    message = f"Intensity {ma:g} mA: this stimulator ends at {limits.max_intensity:g} mA."
    return [_finding("intensity", message, limits)]


def _phase(request: dict, phase_us: float, limits: StimulatorLimits) -> list[Finding]:
    longest = limits.max_phase_duration_us
    if longest is None or phase_us <= longest or request["waveform"] == "burst_ac":
        return []
    message = (
        f"Phase duration {phase_us:g} µs: this stimulator ends at {longest:g} µs."
        + _more_current(request["intensity_ma"], phase_us, longest)
    )
    return [_finding("phase_duration", message, limits)]


def _more_current(ma: float | None, phase_us: float, longest: float) -> str:
    """What a shorter phase costs in current. Teaching: it predicts no patient."""
    if ma is None:
        return ""
    charge = sd.equal_charge_ma(ma=ma, from_us=phase_us, to_us=longest)
    threshold = sd.equal_threshold_ma(ma=ma, from_us=phase_us, to_us=longest)
    return (
        f" For {ma:g} mA it would take about {threshold:.0f} mA to be as far above"
        f" threshold (Weiss, chronaxie {sd.TEACHING_CHRONAXIE_US:g} µs) and"
        f" {charge:.0f} mA to carry the same charge: teaching, not a forecast for"
        " this patient."
    )
