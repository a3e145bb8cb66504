"""The dose check as a whole: its reply, published protocols, properties."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc import guidance
from homeprogram.calc.dose_check import dose_check
from tests.support.doses import BASE, BURST, asked

REPLY = {
    "cycle_s",
    "plateau_s",
    "contractions_per_bout",
    "bout_min",
    "stimulated_min_per_bout",
    "duty_cycle_pct",
    "work_to_rest",
    "contractions_per_day",
    "contractions_per_week",
    "contractions_per_course",
    "phase_charge_uc",
    "net_charge_uc",
    "mean_rectified_ma",
    "rms_ma",
    "rms_density_ma_cm2",
    "rms_density_half_contact_ma_cm2",
    "peak_density_ma_cm2",
    "pulse_energy_mj_at_500_ohm",
    "mean_power_density_w_cm2_at_500_ohm",
    "findings",
}


def test_the_reply_holds_every_promised_figure():
    assert set(dose_check(BASE)) == REPLY


def test_a_finding_says_what_where_from_and_how_sure():
    finding = dose_check(BASE)["findings"][0]

    assert set(finding) == {"code", "level", "message", "source", "mark"}


def test_the_worked_dose():
    # 50 mA, 300 us, 50 Hz: 8.66 mA r.m.s., 15 uC, 1.5 mA (rule of a maker's
    # instructions; Q = I d); 0.75 mJ and 0.0015 W/cm2 by Joule's law.
    reply = dose_check(BASE)

    assert reply["rms_ma"] == pytest.approx(8.66, abs=0.01)
    assert reply["phase_charge_uc"] == 15.0
    assert reply["mean_rectified_ma"] == 1.5
    assert reply["net_charge_uc"] == 0
    assert reply["rms_density_ma_cm2"] == pytest.approx(0.3464, abs=1e-4)
    assert reply["rms_density_half_contact_ma_cm2"] == pytest.approx(0.6928, abs=1e-4)
    assert reply["peak_density_ma_cm2"] == 2.0
    assert reply["pulse_energy_mj_at_500_ohm"] == 0.75
    assert reply["mean_power_density_w_cm2_at_500_ohm"] == pytest.approx(0.0015)


PROTOCOLS = [
    # code, contractions a bout, a week, a course (None: length of course not printed)
    ("aldayel_2021", 60, 120, 600),
    ("imoto_2013", 30, 60, 480),
    ("acl_2019_jner", 30, 90, 360),
    ("lieber_1996", 60, 300, 1200),
    ("feil_2011_garment", 80, 1200, 14_400),
    ("feil_2011_conventional", 40, 600, 7200),
    ("windholz_2014", 180, 1260, 7560),
    ("holcomb", 15, 45, 180),
    ("bruce_brand_2012", 20, 100, 600),
    ("snyder_mackler_1995", 15, 45, 180),
    ("delitto_1988", 15, 75, 225),
    ("tka_home", 15, 210, 1260),
]


def from_family(code: str) -> dict:
    """A request from a published protocol; what it does not print is assumed."""
    family = guidance.family(code)
    printed = {
        name: getattr(family, name) for name in BASE if getattr(family, name, None) is not None
    }
    request = {**BASE, "ramp_up_s": 0, "ramp_down_s": 0, **printed, "family": code}
    if family.waveform == "burst_ac":
        request |= {**BURST, "bursts_per_s": request["frequency_hz"]}
        request["burst_ms"] = 500 / request["frequency_hz"]
    if family.waveform == "asymmetric_biphasic":
        request["second_phase_ma"] = 10
    del request["contractions"]
    length = "bout_min" if family.bout_min else "contractions"
    return {**request, length: family.bout_min or family.contractions_per_bout}


@pytest.mark.parametrize(("code", "bout", "week", "course"), PROTOCOLS)
def test_a_published_protocol_counts_as_printed(code, bout, week, course):
    reply = dose_check(from_family(code))

    assert reply["contractions_per_bout"] == bout
    assert reply["contractions_per_week"] == week
    assert reply["contractions_per_course"] == course


def test_warm_up_and_recovery_leave_45_main_minutes():
    # Gerovasili et al. 2009: 12 s : 6 s, 55 min with 5 and 5.
    reply = dose_check(
        {**from_family("gerovasili_2009"), "warmup_min": 5, "recovery_min": 5, "weeks": 1}
    )

    assert reply["contractions_per_bout"] == 150
    assert reply["bout_min"] == 55


def test_ramps_outside_make_seven_minutes():
    # University course notes after Cameron: 6 s hold, 30 s off, 3 s ramps, 7 min.
    reply = dose_check(from_family("course_notes_6_30"))

    assert reply["bout_min"] == 7.0
    assert reply["plateau_s"] == 6
    assert reply["stimulated_min_per_bout"] == 2.0
    assert reply["duty_cycle_pct"] == pytest.approx(16.67, abs=0.01)


@pytest.mark.parametrize("code", [family.code for family in guidance.families()])
def test_a_family_is_within_its_own_source(code):
    reply = dose_check(from_family(code))

    assert not [f for f in reply["findings"] if f["level"] == "outside"]


def test_pulse_and_phase_are_the_same_dose():
    phase = dose_check(asked(interphase_us=100))
    pulse = dose_check(asked(pulse_duration_us=700, interphase_us=100))

    assert pulse == phase


def test_a_monophasic_pulse_is_its_phase():
    # Galea et al. 2013: 140 mA, 0.3 ms, 35 Hz give 14.35 mA one way.
    reply = dose_check(
        asked(waveform="monophasic", intensity_ma=140, frequency_hz=35, pulse_duration_us=300)
    )

    assert reply["rms_ma"] == pytest.approx(14.35, abs=0.01)
    assert reply["net_charge_uc"] == 42.0


def test_bursts_take_their_phase_from_the_carrier():
    # 80 mA crest, 10 ms at 50 a second: 40 mA r.m.s., 10.19 uC a half-period.
    reply = dose_check(asked(**BURST, intensity_ma=80))

    assert reply["rms_ma"] == 40.0
    assert reply["phase_charge_uc"] == pytest.approx(10.19, abs=0.01)
    assert not [f for f in reply["findings"] if f["code"].startswith("phase_")]


def test_an_unknown_intensity_leaves_the_electrical_figures_null():
    reply = dose_check(asked(intensity_ma=None))

    assert reply["rms_ma"] is None
    assert reply["phase_charge_uc"] is None
    assert reply["contractions_per_bout"] == 15
    assert [f for f in reply["findings"] if f["code"] == "intensity_unknown"]


requests = st.fixed_dictionaries(
    {
        "frequency_hz": st.floats(1, 150),
        "phase_duration_us": st.floats(50, 1500),
        "intensity_ma": st.floats(1, 200),
        "on_s": st.floats(4, 30),
        "off_s": st.floats(1, 120),
        "contractions": st.integers(1, 200),
        "electrode_cm2": st.floats(5, 300),
        "ramps_inside_on": st.booleans(),
    }
)


@given(requests)
def test_any_possible_dose_has_an_answer_in_the_promised_levels(changes):
    reply = dose_check(asked(**changes))

    levels = {finding["level"] for finding in reply["findings"]}
    assert levels <= {"within", "notice", "outside"}
    assert reply["rms_density_half_contact_ma_cm2"] == pytest.approx(
        2 * reply["rms_density_ma_cm2"], abs=1e-5
    )


@given(requests)
def test_minutes_and_contractions_are_two_ways_to_ask_the_same(changes):
    by_count = dose_check(asked(**changes))
    request = asked(**changes, bout_min=by_count["bout_min"] + 1e-5)
    by_time = dose_check(request) if 1 <= request["bout_min"] <= 240 else by_count

    assert by_time["contractions_per_bout"] == by_count["contractions_per_bout"]
