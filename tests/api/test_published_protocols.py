"""Published protocols and electrical figures, recomputed end to end through the dose check.

Left out of fixtures/calc/published.json: the ramp up inside and down outside the on
time, a convention the request cannot state; r.m.s. currents without a waveform; and
the half-cycle of a carrier, which is no figure of the reply.
"""

import json
from pathlib import Path

import pytest

pytestmark = pytest.mark.any_database
URL = "/api/v1/dose-check/"
ROOT = Path(__file__).resolve().parents[2]
PUBLISHED = json.loads((ROOT / "fixtures/calc/published.json").read_text("utf-8"))
COUNTING = [
    case for case in PUBLISHED["counting"] if case["timing"]["convention"] in {"inside", "outside"}
]
ELECTRICAL = [
    case
    for case in PUBLISHED["electrical"]
    if case["train"]["kind"] != "rms"
    and case["id"] not in {"carrier of 2500 Hz", "fifty microamperes"}
]
PLAIN = {
    "waveform": "symmetric_biphasic",
    "frequency_hz": 40,
    "phase_duration_us": 200,
    "intensity_ma": None,
    "on_s": 10,
    "off_s": 50,
    "ramp_up_s": 0,
    "ramp_down_s": 0,
    "ramps_inside_on": True,
    "bouts_per_day": 1,
    "days_per_week": 1,
    "weeks": 1,
    "electrode_cm2": 50,
}
COUNTS = {
    "contractions": "contractions_per_bout",
    "per_day": "contractions_per_day",
    "per_week": "contractions_per_week",
    "per_course": "contractions_per_course",
    "stimulated_min": "stimulated_min_per_bout",
}
CURRENTS = {
    "rms_density": "rms_density_ma_cm2",
    "half_contact": "rms_density_half_contact_ma_cm2",
    "pulse_energy_mj": "pulse_energy_mj_at_500_ohm",
}


def ask(desk, request: dict):
    return desk.post(URL, {**PLAIN, **request}, content_type="application/json")


def named(reply, names: dict, expected: dict) -> dict:
    body = reply.json()
    return {name: body[names.get(name, name)] for name in expected}


@pytest.mark.parametrize("case", COUNTING, ids=lambda case: case["id"])
def test_a_printed_protocol_counts_as_printed(desk, case):
    timing = {name: value for name, value in case["timing"].items() if name != "convention"}
    inside = case["timing"]["convention"] == "inside"
    length = dict(case["given"])
    if "contractions" in length:
        length.pop("bout_min", None)

    reply = ask(desk, timing | length | {"ramps_inside_on": inside})

    assert reply.status_code == 200
    assert named(reply, COUNTS, case["expected"]) == pytest.approx(case["expected"], abs=0.01)


def train_of(case: dict) -> dict:
    train = case["train"]
    burst = train["kind"] == "burst_ac"
    return {
        "waveform": train["kind"],
        "intensity_ma": train["ma"],
        "frequency_hz": train["bursts_per_s"] if burst else train["frequency_hz"],
        "phase_duration_us": 1e6 / (2 * train["carrier_hz"]) if burst else train["phase_us"],
        "contractions": 10,
        "electrode_cm2": case["electrode_cm2"] or PLAIN["electrode_cm2"],
    } | ({"carrier_hz": train["carrier_hz"], "burst_ms": train["burst_ms"]} if burst else {})


@pytest.mark.parametrize("case", ELECTRICAL, ids=lambda case: case["id"])
def test_a_printed_current_comes_out_as_printed(desk, case):
    reply = ask(desk, train_of(case))

    assert reply.status_code == 200
    assert named(reply, CURRENTS, case["expected"]) == pytest.approx(case["expected"], abs=0.01)


def test_the_protocol_printed_with_milliseconds_is_refused_whole(desk):
    """Windholz et al. 2014, PMC4012222: 5 s : 5 s, 30 min, 50 Hz, "300 ms" pulses."""
    windholz = {"on_s": 5, "off_s": 5, "bout_min": 30, "frequency_hz": 50, "days_per_week": 7}

    reply = ask(desk, windholz | {"weeks": 6, "phase_duration_us": 300_000})

    body = reply.json()
    assert reply.status_code == 400
    assert (body["code"], list(body["fields"])) == ("pulse_does_not_fit", ["phase_duration_us"])
    assert "would fill 15 periods" in body["message"]
    assert body["slips"] == [
        {"field": "phase_duration_us", "given": 300_000, "likely": 300, "unit": "µs"}
    ]
    repaired = ask(desk, windholz | {"weeks": 6, "phase_duration_us": body["slips"][0]["likely"]})
    assert repaired.json()["contractions_per_course"] == 7560


def test_microamperes_for_milliamperes_are_refused_with_what_was_meant(desk):
    reply = ask(desk, {"contractions": 10, "intensity_ma": 0.05, "phase_duration_us": 300})

    assert reply.json()["slips"] == [
        {"field": "intensity_ma", "given": 0.05, "likely": 50, "unit": "mA"}
    ]
