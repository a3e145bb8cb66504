"""The dose check as a whole: reply, findings, refusals."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc import guidance
from homeprogram.calc.dose_check import dose_check
from homeprogram.calc.dose_errors import ImpossibleDose

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


def test_300_ms_as_printed_is_impossible_and_300_us_was_meant():
    # Windholz et al. 2014, PMC4012222, prints 300 ms at 50 Hz: 15 periods.
    error = refusal(phase_duration_us=300_000, on_s=5, off_s=5)

    assert error.code == "pulse_does_not_fit"
    assert "15 periods" in error.message
    assert error.slips == [
        {"field": "phase_duration_us", "given": 300_000, "likely": 300, "unit": "µs"}
    ]
    assert set(error.fields) == {"phase_duration_us"}


@pytest.mark.parametrize(
    ("changes", "field", "likely"),
    [
        ({"phase_duration_us": 0.3}, "phase_duration_us", 300),
        ({"pulse_duration_us": 0.4}, "pulse_duration_us", 400),
        ({"intensity_ma": 0.05}, "intensity_ma", 50),
        ({"intensity_ma": 50_000}, "intensity_ma", 50),
        ({"bout_min": 1200}, "bout_min", 20),
        ({"on_s": 0.1667}, "on_s", 10),
        ({"off_s": 0.8333}, "off_s", 50),
        ({"ramp_up_s": 2000}, "ramp_up_s", 2),
        ({"electrode_cm2": 9652}, "electrode_cm2", 96.52),
        ({"frequency_hz": 0.05}, "frequency_hz", 50),
        ({**BURST, "carrier_hz": 2.5}, "carrier_hz", 2500),
        ({**BURST, "burst_ms": 10_000}, "burst_ms", 10),
    ],
)
def test_a_slip_of_unit_is_named_with_the_likely_value(changes, field, likely):
    error = refusal(**changes)

    assert [(slip["field"], slip["likely"]) for slip in error.slips] == [(field, likely)]
    assert set(error.fields) == {field}


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"waveform": "sawtooth"}, "waveform_unknown"),
        ({"phase_duration_us": None}, "duration_pair"),
        ({"contractions": None}, "length_pair"),
        ({"on_s": 3}, "ramps_longer_than_on"),
        ({"bout_min": 5, "warmup_min": 4.5}, "bout_too_short"),
        ({"frequency_hz": 2500}, "out_of_bounds"),
        ({"frequency_hz": 900, "phase_duration_us": 600}, "pulse_does_not_fit"),
        ({"days_per_week": 8}, "out_of_bounds"),
        ({"on_s": -1}, "out_of_bounds"),
        ({"on_s": float("nan")}, "out_of_bounds"),
        ({"family": "no_such"}, "family_unknown"),
        ({"waveform": "asymmetric_biphasic"}, "second_phase_missing"),
        ({"pulse_duration_us": 100, "interphase_us": 100}, "interphase_too_long"),
        ({"waveform": "burst_ac"}, "burst_incomplete"),
        ({**BURST, "bursts_per_s": 75}, "burst_frequency_differs"),
        ({**BURST, "phase_duration_us": 300}, "burst_phase_differs"),
        ({**BURST, "burst_ms": 21}, "burst_does_not_fit"),
        (
            {"waveform": "asymmetric_biphasic", "second_phase_ma": 10} | {"pulse_duration_us": 600},
            "pulse_duration_symmetric_only",
        ),
    ],
)
def test_what_cannot_be_is_refused_by_a_stable_code(changes, code):
    error = refusal(**changes)

    assert error.code == code
    assert error.fields


def test_both_of_a_pair_are_refused():
    with pytest.raises(ImpossibleDose) as duration:
        dose_check({**BASE, "pulse_duration_us": 600})
    with pytest.raises(ImpossibleDose) as length:
        dose_check({**BASE, "bout_min": 15})

    assert duration.value.code == "duration_pair"
    assert length.value.code == "length_pair"


@pytest.mark.parametrize("name", ["weeks", "on_s", "electrode_cm2", "intensity_ma"])
def test_a_missing_figure_is_named(name):
    with pytest.raises(ImpossibleDose) as refused:
        dose_check({key: value for key, value in BASE.items() if key != name})

    assert refused.value.code == "field_missing"
    assert set(refused.value.fields) == {name}


def test_every_impossible_field_is_named_at_once():
    error = refusal(intensity_ma=50_000, days_per_week=9)

    assert set(error.fields) == {"intensity_ma", "days_per_week"}


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


def test_charge_left_over_is_a_notice_and_balance_is_not():
    left = findings("net_charge", waveform="monophasic")
    balanced = findings("net_charge", waveform="asymmetric_biphasic", second_phase_duration_us=1700)

    assert [f["level"] for f in left + balanced] == ["notice", "within"]


def test_bursts_take_their_phase_from_the_carrier():
    # 80 mA crest, 10 ms at 50 a second: 40 mA r.m.s., 10.19 uC a half-period.
    reply = dose_check(asked(**BURST, intensity_ma=80))

    assert reply["rms_ma"] == 40.0
    assert reply["phase_charge_uc"] == pytest.approx(10.19, abs=0.01)
    assert not [f for f in reply["findings"] if f["code"].startswith("phase_")]


def test_a_burst_that_cuts_a_period_is_said_to():
    assert findings("burst_partial_period", **{**BURST, "burst_ms": 6.7})
    assert not findings("burst_partial_period", **BURST)


def test_a_half_lifted_pad_raises_the_notice_that_the_full_one_does_not():
    # Engineering note: 200 mA, 450 us, 25 Hz on 20 cm2: 1.5, half lifted 3 mA/cm2.
    dose = {"intensity_ma": 200, "phase_duration_us": 450, "frequency_hz": 25}

    full = findings("rms_density", **dose, electrode_cm2=20)
    half = findings("rms_density_half_contact", **dose, electrode_cm2=20)

    assert [f["level"] for f in full + half] == ["within", "notice"]
    assert half[0]["mark"] == "read"
    assert " 3 mA/cm²" in half[0]["message"]


def test_exactly_two_milliamperes_on_a_square_centimetre_is_not_above():
    dose = {"intensity_ma": 100, "phase_duration_us": 400, "electrode_cm2": 10}

    assert findings("rms_density", **dose)[0]["level"] == "within"


def test_a_limit_from_memory_only_informs():
    # 161.3 mA, 1 ms a phase, 50 Hz are 51 mA r.m.s., over the recalled 50.
    found = findings("rms_to_400_hz", intensity_ma=161.3, phase_duration_us=1000)

    assert found[0]["level"] == "notice"
    assert found[0]["mark"] == "memory"
    assert "unverified" in found[0]["message"].lower()


def test_power_against_burns_is_outside():
    dose = {"intensity_ma": 161.3, "phase_duration_us": 1000, "electrode_cm2": 5}

    assert findings("mean_power_density", **dose)[0]["level"] == "outside"


def test_the_family_and_who_disagrees_with_it():
    short = {"off_s": 10, "family": "patellofemoral_pain"}

    family = findings("off_s_family", **short)
    strength = findings("rest_strength", **short)

    assert family[0]["level"] == "within"
    assert strength[0]["level"] == "notice"
    assert "Rest 10 s: shorter than the 30-50 s of Nussbaum" in strength[0]["message"]
    assert "tied to strength" in strength[0]["message"]


def test_outside_the_family_does_not_block():
    found = findings("frequency_hz_family", family="acl_reconstruction", frequency_hz=80)

    assert found[0]["level"] == "outside"
    assert "80 Hz: higher than the 30-50 Hz" in found[0]["message"]


def test_a_family_figure_from_memory_is_a_notice():
    found = findings("days_per_week_family", family="tka_home", days_per_week=5)

    assert (found[0]["level"], found[0]["mark"]) == ("notice", "memory")


def test_one_to_five_is_outside_common_practice_and_says_so():
    found = findings("work_to_rest_family", family="strengthening_home")

    assert found[0]["level"] == "outside"
    assert "1:5: more rest than the 1:1 to 1:3" in found[0]["message"]


def test_one_to_three_is_inside_one_to_three():
    found = findings("work_to_rest_common", on_s=7, off_s=21)

    assert found[0]["level"] == "within"


def test_the_end_of_a_range_survives_binary_fractions():
    # 15.3 / 5.1 is 3.0000000000000004 to a computer.
    found = findings("work_to_rest_common", on_s=5.1, off_s=15.3)

    assert found[0]["level"] == "within"


def test_with_a_family_other_sources_speak_only_when_they_disagree():
    family = findings("frequency_common", family="acl_reconstruction")
    alone = findings("frequency_common")

    assert (family, [f["level"] for f in alone]) == ([], ["within"])


def test_a_source_on_another_pathway_stays_silent():
    slow = {"frequency_hz": 40}

    assert findings("frequency_after_surgery", **slow, family="acl_reconstruction")
    assert not findings("frequency_after_surgery", **slow, family="patellofemoral_pain")


def test_both_totals_are_shown_when_the_ramps_matter():
    found = findings("ramp_convention")

    assert "15 min with the ramps inside" in found[0]["message"]
    assert "16 min with them outside" in found[0]["message"]
    assert not findings("ramp_convention", ramp_up_s=0, ramp_down_s=0)


def test_with_and_without_the_last_rest():
    # 10 contractions of 10 s : 50 s.
    found = findings("last_rest", contractions=10)

    assert "10 min 0 s with" in found[0]["message"]
    assert "9 min 10 s without" in found[0]["message"]


def test_the_other_reading_of_pulse_duration_is_shown():
    # 100 mA, 400 us, 50 Hz: 20.0 mA, and 14.1 if 400 us were the whole pulse.
    found = findings("pulse_or_phase", intensity_ma=100, phase_duration_us=400)

    assert "20 mA" in found[0]["message"]
    assert "14.1 mA" in found[0]["message"]


def test_an_unknown_intensity_leaves_the_electrical_figures_null():
    reply = dose_check(asked(intensity_ma=None))

    assert reply["rms_ma"] is None
    assert reply["phase_charge_uc"] is None
    assert reply["contractions_per_bout"] == 15
    assert [f for f in reply["findings"] if f["code"] == "intensity_unknown"]


def test_an_intensity_above_what_is_usual_is_a_notice():
    assert findings("intensity_usual", intensity_ma=250)[0]["level"] == "notice"


def test_a_ramp_that_leaves_no_plateau_is_said():
    assert findings("plateau_short", ramp_up_s=5, ramp_down_s=5)


def test_a_clinics_own_family_is_compared_with():
    row = guidance.load("families.json")["families"][0]
    own = guidance.family_from({**row, "name": "Our own"})

    reply = dose_check(asked(frequency_hz=20), family=own)

    message = next(f["message"] for f in reply["findings"] if f["code"] == "frequency_hz_family")
    assert "'Our own'" in message


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
