"""Strength tests at the desk: entry, slips, result, plot, sharing."""

import json
import re
from datetime import date, timedelta

import pytest
from django.urls import reverse

from homeprogram.models import StrengthTest
from tests.support.prescribing import make_limit, make_strength_test
from tests.support.reading import text_of

TYPED = {
    "on": "2030-03-04",
    "maximal": "yes",
    "cleared_on": "2030-02-28",
    "knee_angle_deg": "60",
    "method": "electromechanical",
    "unit": "Nm",
    "mvic_rule": "best",
    "other_limb": "sound",
    "involved_1": "90",
    "involved_2": "100",
    "uninvolved_1": "120",
    "uninvolved_2": "125",
    "body_mass_kg": "80",
}
EMPTY = TYPED | dict.fromkeys(("involved_1", "involved_2", "uninvolved_1", "uninvolved_2"), "")


@pytest.fixture
def url(episode) -> str:
    return reverse("strength-test-record", kwargs={"episode_id": episode.id})


@pytest.fixture
def tests_url(episode) -> str:
    return reverse("strength-tests", kwargs={"episode_id": episode.id})


@pytest.fixture
def tested(episode, clinician, now, clock):
    """Record a test so many days later; the pages then show that day."""

    def record(days: int = 0, **changes):
        moment = now + timedelta(days=days)
        clock(moment)
        return make_strength_test(episode, clinician, moment, **changes)

    return record


def plot_data(response) -> dict:
    found = re.search(r'<script id="plot-data"[^>]*>(.*?)</script>', response.content.decode())
    return json.loads(found.group(1))


def test_it_records_and_shows_each_index_with_its_error(desk, url, clinician):
    response = desk.post(url, TYPED, follow=True)

    text = text_of(response)
    assert StrengthTest.objects.get().recorded_by == clinician
    assert "LSI 80 % ± 16 %" in text
    assert "MVIC, involved limb 100 Nm ± 14 Nm" in text
    assert "Strength by body mass 1.25 Nm/kg" in text
    assert "Within measurement error of it: borderline, repeat." in text
    assert "caught up" not in text


def test_it_says_what_may_be_reviewed_and_all_that_is_unmet(desk, url):
    weak = TYPED | {"involved_1": "60", "involved_2": "70"}

    text = text_of(desk.post(url, weak, follow=True))

    assert "Course not yet done: Only 0 of the usual 6 weeks since the start are over." in text
    assert "LSI 56 % is below 80 %." in text


def test_counting_saves_nothing(desk, url):
    text = text_of(desk.post(url, TYPED | {"check": "1"}))

    assert "Nothing is saved yet" in text
    assert "LSI 80 % ± 16 %" in text
    assert not StrengthTest.objects.exists()


def test_counting_nothing_says_so(desk, url):
    assert "No trials: nothing to compute." in text_of(desk.post(url, EMPTY | {"check": "1"}))


def test_an_index_against_a_limb_that_is_not_sound_says_why(desk, url):
    detrained = text_of(desk.post(url, TYPED | {"other_limb": "detrained"}, follow=True))
    assert "unreliable: the other limb is detrained" in detrained

    operated = text_of(desk.post(url, TYPED | {"other_limb": "operated"}, follow=True))
    assert "LSI not given unreliable: the other limb is operated" in operated


@pytest.mark.parametrize(
    ("odd", "sentence"),
    [
        ({"maximal": ""}, "Answer yes or no."),
        ({"maximal": "no"}, "Trials are maximal efforts."),
        ({"cleared_on": ""}, "A maximal test needs the date on which it was cleared."),
        ({"knee_angle_deg": ""}, "A maximal test needs the knee angle."),
        ({"other_limb": ""}, "Say how the other limb is"),
        ({"on": "2030-03-05"}, "A test cannot be on a day to come."),
        ({"unit": "N", "lever_arm_m": "30"}, "Was it 0.3 m?"),
        ({"unit": "kgf", "lever_arm_m": "0.3", "involved_2": "440"}, "more than a knee can do."),
        ({"evoked": "20"}, "Name the MVIC it is a fraction of."),
        ({"evoked_at_1": "45"}, "Give what the current evoked at this intensity."),
        ({"questionnaire": "IKDC"}, "Give a questionnaire's name and its score."),
        ({"involved_1": "-3"}, "greater than or equal to"),
    ],
)
def test_a_slip_is_named_and_nothing_is_lost(desk, url, odd, sentence):
    response = desk.post(url, TYPED | {"swelling": "stroke test 1+"} | odd)

    text = text_of(response)
    assert sentence in text
    assert "Not saved yet" in text
    assert "stroke test 1+" in response.content.decode()
    assert not StrengthTest.objects.exists()


def test_pounds_in_a_field_of_kilograms_are_named(desk, url):
    slip = {"unit": "kgf", "lever_arm_m": "0.35", "involved_1": "", "involved_2": "200"}

    text = text_of(desk.post(url, TYPED | slip))

    assert "Involved limb, trial 1 : 200 kgf is more than a knee can do. Was it 90.72 kgf?" in text


def test_an_observed_contraction_alone_is_a_test(desk, url):
    seen = EMPTY | {"maximal": "no", "cleared_on": "", "other_limb": ""}
    seen["observed_contraction"] = "moves_patella"

    text = text_of(desk.post(url, seen, follow=True))

    assert "Observed contraction moves the patella" in text
    assert 'id="plot-data"' not in text


def test_what_a_surgeon_asks_first_stands_beside_it(desk, url):
    measures = {
        "flexion_deg": "110",
        "extension_deg": "-2",
        "extension_lag_deg": "5",
        "swelling": "stroke test 1+",
        "knee_pain": "0",
        "questionnaire": "IKDC",
        "questionnaire_score": "61.5",
    }

    text = text_of(desk.post(url, TYPED | measures, follow=True))

    for said in (
        "Flexion 110°",
        "Extension -2°",
        "Extension lag 5°",
        "Swelling stroke test 1+",
        "Knee pain 0 of 10",
        "IKDC 61.5",
    ):
        assert said in text


def test_the_intensity_of_the_evoked_measure_is_kept_by_channel(desk, url):
    evoked = {"evoked": "55", "evoked_of": "involved", "evoked_at_1": "45", "evoked_at_2": "38.5"}

    text = text_of(desk.post(url, TYPED | evoked, follow=True))

    assert "Evoked at channel 1: 45, channel 2: 38.5" in text
    assert StrengthTest.objects.get().evoked_at == [
        {"channel": 1, "value": 45.0},
        {"channel": 2, "value": 38.5},
    ]


def test_the_clearance_on_file_is_filled_in(desk, url, episode, clinician, now):
    cleared = {"kind": "maximal_test", "detail": "from week 12", "from_deg": None, "to_deg": None}
    make_limit(episode, clinician, now, first_day=date(2030, 3, 1), **cleared)

    assert desk.get(url).context["form"]["cleared_on"].value() == date(2030, 3, 1)


def test_without_a_clearance_none_is_made_up(desk, url):
    assert desk.get(url).context["form"]["cleared_on"].value() is None


def test_how_it_was_tested_last_is_filled_in_but_no_trial(desk, url, tested):
    tested(unit="lbf", lever_arm_m=0.3, other_limb="arthritic")

    form = desk.get(url).context["form"]

    assert form["unit"].value() == "lbf"
    assert form["other_limb"].value() == "arthritic"
    assert form["preop_uninvolved"].value() == 140
    assert form["involved_1"].value() is None


def test_a_test_before_surgery_is_what_later_ones_are_held_against(desk, url, tested):
    tested(pathway="pre_operative", preop_uninvolved=None)

    assert desk.get(url).context["form"]["preop_uninvolved"].value() == 125


def test_a_change_within_error_is_called_that(desk, tests_url, tested):
    tested()
    tested(14, involved=[115])
    tested(15, involved=[140])

    text = text_of(desk.get(tests_url))

    assert "15 % stronger than on Mon 4 Mar 2030: within measurement error (19.9 %)." in text
    assert "22 % stronger than on Mon 18 Mar 2030: more than measurement error (19.9 %)." in text


def test_plot_table_and_sentence_tell_the_same(desk, tests_url, tested):
    tested(0, involved=[80])
    tested(7, involved=[90])
    tested(14, involved=[95])
    tested(21, involved=[], said={"maximal": False})

    response = desk.get(tests_url)

    data, text = plot_data(response), text_of(response)
    assert [point["day"] for point in data["points"]] == [0, 7, 14, 21]
    assert [point["involved"] for point in data["points"]] == [80, 90, 95, None]
    assert [point["day"] for point in data["band"]] == [0, 7, 14]
    assert [one["value"] for one in data["thresholds"]] == [80, 90]
    assert "Mon 11 Mar 2030 90 125 72 57.7 to 86.3" in text
    assert "Mon 25 Mar 2030 not tested 125 not tested not known" in text
    # Slope by hand: 7.5 Nm a week through 80, 90, 95; too few to be sure.
    assert "No clear trend (+7.5 Nm a week, 95 % -10.8 to 25.8)." in text


def test_the_drawing_is_loaded_only_where_something_is_drawn(desk, tests_url, tested):
    assert "chart.umd" not in desk.get(tests_url).content.decode()
    test = tested()

    assert "vendor/chart.js/chart.umd.min" in desk.get(tests_url).content.decode()
    form = reverse("strength-test-record", kwargs={"episode_id": test.episode_id})
    assert "chart.umd" not in desk.get(form).content.decode()


def test_sharing_is_a_button_of_its_own(desk, tests_url, tested, now):
    test = tested()
    assert "Share the LSI with the patient" in text_of(desk.get(tests_url))

    desk.post(reverse("strength-test-share", kwargs={"test_id": test.id}))

    test.refresh_from_db()
    assert test.shared_at == now
    assert "shared Mon 4 Mar 2030" in text_of(desk.get(tests_url))


def test_the_patient_page_shows_the_newest(desk, patient_url, tested):
    tested()

    text = text_of(desk.get(patient_url))

    assert "LSI 80 % (± 16 %)" in text
    assert "All tests and plot (1)" in text
