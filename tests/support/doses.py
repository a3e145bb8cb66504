"""A dose to change one figure of, and the two ways a test looks at the answer."""

import pytest

from homeprogram.calc.dose_check import dose_check
from homeprogram.calc.dose_errors import ImpossibleDose

BASE = {
    "waveform": "symmetric_biphasic",
    "frequency_hz": 50,
    "phase_duration_us": 300,
    "intensity_ma": 50,
    "on_s": 10,
    "off_s": 50,
    "ramp_up_s": 2,
    "ramp_down_s": 2,
    "ramps_inside_on": True,
    "contractions": 15,
    "bouts_per_day": 1,
    "days_per_week": 3,
    "weeks": 6,
    "electrode_cm2": 25,
}
BURST = {
    "waveform": "burst_ac",
    "phase_duration_us": 200,
    "carrier_hz": 2500,
    "bursts_per_s": 50,
    "burst_ms": 10,
}


def asked(**changes) -> dict:
    request = {**BASE, **changes}
    if "bout_min" in changes:
        del request["contractions"]
    if "pulse_duration_us" in changes:
        del request["phase_duration_us"]
    return request


def findings(code: str, **changes) -> list[dict]:
    reply = dose_check(asked(**changes))
    return [finding for finding in reply["findings"] if finding["code"] == code]


def refusal(**changes) -> ImpossibleDose:
    with pytest.raises(ImpossibleDose) as refused:
        dose_check(asked(**changes))
    return refused.value
