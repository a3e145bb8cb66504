"""What the dose check says: family, other sources, limits, conventions."""

from homeprogram.calc import guidance
from homeprogram.calc.dose_check import dose_check
from tests.support.doses import BURST, asked, findings


def test_charge_left_over_is_a_notice_and_balance_is_not():
    left = findings("net_charge", waveform="monophasic")
    balanced = findings("net_charge", waveform="asymmetric_biphasic", second_phase_duration_us=1700)

    assert [f["level"] for f in left + balanced] == ["notice", "within"]


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
