"""The program form: what stands beside it, what it asks about, what it keeps."""

import json
from pathlib import Path

import pytest
from django.http import QueryDict
from django.urls import reverse

from clinician.forms.program import ProgramForm
from clinician.forms.program_check import asked
from clinician.forms.program_values import from_typed
from clinician.selectors.dose_panel import told_source
from clinician.selectors.drawings import pattern_drawing, week_drawing
from homeprogram.calc import dose
from homeprogram.models import Revision, StimulatorProfile
from homeprogram.services.patients import episode_add
from homeprogram.services.programs import revision_add
from tests.conftest import make_dose, make_screening
from tests.support.reading import text_of

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures" / "desk"
QUESTIONS = json.loads((FIXTURES / "questions.json").read_text(encoding="utf-8"))["cases"]
DRAWINGS = json.loads((FIXTURES / "drawings.json").read_text(encoding="utf-8"))


@pytest.fixture
def episode(patient, clinician, now):
    episode = episode_add(
        patient=patient,
        limb="left",
        pathway="post_operative",
        procedure="ACL reconstruction",
        surgery_on=now.date(),
        starts_on=now.date(),
        now=now,
    )
    make_screening(episode, clinician, now)
    return episode


@pytest.fixture
def url(episode) -> str:
    kwargs = {"episode_id": episode.id, "family": "acl_reconstruction"}
    return reverse("program-assign", kwargs=kwargs)


class Profile:
    def __init__(self, key: str) -> None:
        self.id, self.name, self.unit, self.max_intensity = key, key, "mA", 120


@pytest.mark.parametrize("case", QUESTIONS, ids=lambda case: case["what"])
def test_the_form_asks_the_dose_check_what_the_page_asks(case):
    form = ProgramForm(initial=from_typed(case["form"]), stimulators=[Profile("high")])

    question = asked(form)

    assert question.request == case["request"]
    assert question.missing == case["missing"]


@pytest.mark.parametrize("case", DRAWINGS["patterns"], ids=lambda case: case["words"][:40])
def test_a_pattern_is_drawn_to_scale_with_its_numbers_in_words(case):
    drawn = pattern_drawing(dose.timing(**case["timing"]))

    assert drawn.points == case["points"]
    assert drawn.words == case["words"]


@pytest.mark.parametrize("case", DRAWINGS["weeks"], ids=lambda case: case["words"][:40])
def test_a_week_is_drawn_with_a_block_for_each_bout(case):
    drawn = week_drawing(case["weekdays"], bouts=case["bouts"], contractions=case["contractions"])

    assert drawn.words == case["words"]
    assert [[b.x, b.y, b.height] for day in drawn.days for b in day.blocks] == case["blocks"]


def test_a_family_is_counted_and_compared_before_anything_is_typed(desk, url):
    text = text_of(desk.get(url))

    assert "15 contractions a bout in 15 min" in text
    assert "Two cycles to scale: 2 s up, 6 s plateau, 2 s down, then 50 s off" in text
    assert "Family: 250-400 µs" in text
    assert "Where sources disagree" in text
    assert "Nothing is saved yet" in text


def test_electrical_figures_say_whether_they_are_rms_or_peak(desk, url, program_post):
    # 60 mA, 300 µs a phase, 50 Hz: 18 µC; 60 x sqrt(2 x 50 x 0.0003) = 10.4 mA r.m.s.
    text = text_of(desk.post(url, program_post | {"check": "1"}))

    assert "Phase charge 18 µC" in text
    assert "Current, r.m.s. 10.4 mA" in text
    assert "Density, r.m.s., full contact 0.173 mA/cm²" in text
    assert "Density, r.m.s., half contact 0.346 mA/cm²" in text
    assert "Density, peak, full contact 1 mA/cm²" in text


def test_both_totals_are_shown_where_the_ramp_conventions_differ(desk, url, program_post):
    text = text_of(desk.post(url, program_post | {"check": "1"}))

    assert "A bout 15 min" in text
    assert "With the ramps counted the other way 15.75 min" in text


def test_a_half_filled_form_says_what_is_missing_and_blames_nothing(desk, url, program_post):
    text = text_of(desk.post(url, program_post | {"check": "1", "on_s": "", "reason": ""}))

    assert "Still needed to count: On time." in text
    assert "Fill this in" not in text


def test_milliseconds_for_microseconds_are_refused_with_a_button_that_puts_it_right(
    desk, url, program_post
):
    response = desk.post(url, program_post | {"check": "1", "phase_duration_us": "300000"})

    assert "A pulse would fill 15 periods" in text_of(response)
    assert 'name="fix" value="phase_duration_us=300"' in response.content.decode()


def test_the_button_puts_the_likely_value_in_and_counts_again(desk, url, program_post):
    typed = program_post | {"phase_duration_us": "300000", "fix": "phase_duration_us=300"}

    response = desk.post(url, typed)

    content = response.content.decode()
    assert "15 contractions a bout in 15 min" in text_of(response)
    assert 'name="phase_duration_us" value="300"' in content
    assert not Revision.objects.exists()


def test_an_impossible_figure_is_never_saved(desk, url, program_post):
    response = desk.post(url, program_post | {"phase_duration_us": "300000"})

    assert "Not saved yet" in text_of(response)
    assert 'value="phase_duration_us=300"' in response.content.decode()
    assert not Revision.objects.exists()


@pytest.fixture
def one_second(program_post) -> dict:
    """1 s of rest: it can be, but a minute was likely meant."""
    return program_post | {"off_s": "1", "bout_min": ""}


def test_a_likely_slip_is_not_saved_unseen(desk, url, one_second):
    response = desk.post(url, one_second)

    assert "1 s: did you mean 60 s (minutes typed for seconds)?" in text_of(response)
    assert not Revision.objects.exists()


def test_a_likely_slip_is_saved_once_it_is_confirmed(desk, url, one_second):
    response = desk.post(url, one_second | {"sure": "off_s:1"})

    assert response.status_code == 302
    assert Revision.objects.get().off_s == 1


def test_a_confirmation_holds_for_the_value_it_was_given_for(desk, url, one_second):
    desk.post(url, one_second | {"off_s": "1.5", "sure": "off_s:1"})

    assert not Revision.objects.exists()


@pytest.mark.parametrize(
    ("message", "source", "told"),
    [
        ("of Nussbaum et al. 2017.", "Nussbaum et al. 2017, doi 10.3138/x", "doi 10.3138/x"),
        ("of Nussbaum et al. 2017.", "Conley 2021, doi 10.1177/y", "Conley 2021, doi 10.1177/y"),
        ("of Cameron, Table 12-1.", "Cameron, Table 12-1", ""),
        ("of common practice.", "Common practice, no source", ""),
    ],
)
def test_a_source_that_the_message_names_is_not_told_twice(message, source, told):
    assert told_source(message, source) == told


def test_no_stimulator_is_chosen_beforehand(desk, url, program_post):
    assert '<option value="" selected>choose one</option>' in desk.get(url).content.decode()

    response = desk.post(url, program_post | {"stimulator": ""})

    assert "Stimulator : Choose one." in text_of(response)


def test_findings_do_not_stand_in_the_way_of_saving(desk, url, program_post):
    odd = program_post | {"frequency_hz": "100", "off_s": "10", "family": "acl_reconstruction"}

    assert "Outside" in text_of(desk.post(url, odd | {"check": "1"}))
    assert desk.post(url, odd).status_code == 302


def test_what_the_stimulator_cannot_deliver_is_said(desk, url, program_post, clinic):
    low = StimulatorProfile.objects.get(clinic=clinic, name="Portable, low output")
    typed = program_post | {"check": "1", "stimulator": str(low.id), "phase_duration_us": "350"}

    text = text_of(desk.post(url, typed))

    assert "This stimulator cannot deliver it" in text
    assert "Phase duration 350 µs: this stimulator ends at 300 µs." in text


@pytest.mark.parametrize(
    ("size", "area"),
    [
        ({"pad_shape": "rectangle", "pad_width_cm": "7.6", "pad_height_cm": "12.7"}, 96.5),
        ({"pad_shape": "round", "pad_diameter_cm": "7"}, 38.5),
        ({"pad_shape": "area", "electrode_cm2": "50"}, 50),
    ],
)
def test_the_area_follows_from_shape_and_size(desk, url, program_post, size, area):
    desk.post(url, program_post | {"electrode_cm2": ""} | size)

    assert Revision.objects.get().electrode_cm2 == area


def test_a_pad_without_size_or_area_is_asked_for(desk, url, program_post):
    response = desk.post(url, program_post | {"electrode_cm2": "", "pad_shape": "round"})

    assert "Give the pad's shape and size, or its area." in text_of(response)


def test_a_tempo_is_held_against_the_on_time(desk, url, program_post):
    fits = {"exercise_2": "long_kick", "lift_2": "3", "hold_2": "3", "lower_2": "3"}
    typed = program_post | fits | {"lift_1": "4", "hold_1": "4", "lower_1": "4", "check": "1"}

    text = text_of(desk.post(url, typed))

    assert "3-3-3 takes 9 s and fits the 10 s on time." in text
    assert "4-4-4 takes 12 s and does not fit the 10 s on time: 2 s would be without" in text


def test_a_tempo_and_another_type_reach_the_phone_and_come_back_once(
    desk, url, program_post, revise
):
    said = {"exercise_1": "long_kick", "type_1": "eccentric"}
    desk.post(url, program_post | said | {"lift_1": "3", "hold_1": "3", "lower_1": "3"})
    first = Revision.objects.get().exercises[0]

    content = revise(first)

    assert first["contraction_type"] == "eccentric"
    assert first["how"].endswith("let it down. Lift 3 s, hold 3 s, lower 3 s.")
    assert first.keys() == {"code", "name", "contraction_type", "how"}
    assert 'name="lift_1" value="3"' in content
    assert '<option value="eccentric" selected>' in content
    assert "Lift 3 s, hold 3 s" not in content


@pytest.fixture
def revise(desk):
    def page(_) -> str:
        program = Revision.objects.get().program
        url = reverse("program-revise", kwargs={"program_id": program.id})
        return desk.get(url).content.decode()

    return page


def test_standing_with_the_current_on_needs_support(desk, url, program_post):
    text = text_of(desk.post(url, program_post | {"check": "1", "exercise_1": "stand_up"}))

    assert "standing with the current on needs a firm support" in text
    assert "no clearance for movement is on file" in text


def test_start_floor_and_ceiling_rise_in_this_order(desk, url, program_post):
    response = desk.post(url, program_post | {"start_1": "40"})

    assert "Start, floor and ceiling must rise in this order" in text_of(response)


def test_what_the_current_alone_did_then_is_kept(desk, url, program_post):
    desk.post(url, program_post | {"observed": "moves_patella", "weeks": "8"})

    details = Revision.objects.get().details
    assert details["observed"] == "moves_patella"
    assert details["weeks"] == 8
    assert details["family_name"] == "After ACL reconstruction"


def test_a_contraction_seen_without_its_intensity_says_too_little(desk, url, program_post):
    nothing = dict.fromkeys(("start_1", "floor_1", "ceiling_1"), "")

    response = desk.post(url, program_post | nothing | {"observed": "sustained"})

    assert "Give start, floor and ceiling of the same bout too." in text_of(response)


def test_a_short_first_week_is_offered_and_taken_only_when_ticked(desk, url, program_post):
    assert "8 contractions a bout and 1 bout a day for seven days" in text_of(desk.get(url))

    desk.post(url, program_post)

    assert Revision.objects.count() == 1


def test_a_short_first_week_is_two_revisions(desk, url, program_post):
    response = desk.post(url, program_post | {"short_first_week": "on"}, follow=True)

    short, full = Revision.objects.order_by("number")
    assert (short.contractions_per_bout, short.bouts_per_day, short.bout_min) == (8, 1, 8)
    assert (full.contractions_per_bout, full.bouts_per_day) == (15, 2)
    assert (full.first_day - short.first_day).days == 7
    assert "the full dose starts on Wed 13 Mar" in text_of(response)


class TestRevising:
    @pytest.fixture
    def url(self, revision) -> str:
        return reverse("program-revise", kwargs={"program_id": revision.program_id})

    @pytest.mark.parametrize(
        ("change", "what"),
        [
            ({"leads_changed": "on"}, "lead"),
            ({"pads": ["upper_inner", "lower_outer"]}, "pads"),
            ({"electrode_cm2": "96.5"}, "pads"),
        ],
    )
    def test_a_remembered_current_is_void_after_a_change(
        self, desk, url, program_post, change, what
    ):
        response = desk.post(url, program_post | change)

        assert f"The {what} changed: what was found for revision 1 is void." in text_of(response)
        assert Revision.objects.count() == 1

    def test_so_it_is_with_another_stimulator(self, desk, url, program_post, revision):
        other = StimulatorProfile.objects.exclude(id=revision.stimulator_id).first()
        typed = program_post | {"stimulator": str(other.id)}

        assert "The stimulator changed" in text_of(desk.post(url, typed | {"check": "1"}))
        assert desk.post(url, typed).status_code == 200

    @pytest.mark.parametrize(
        "anew", [{"found_anew": "on"}, {"start_1": "15", "floor_1": "25", "ceiling_1": "50"}]
    )
    def test_found_anew_it_is_saved(self, desk, url, program_post, anew):
        response = desk.post(url, program_post | {"leads_changed": "on"} | anew)

        assert response.status_code == 302

    def test_counted_minutes_are_counted_again(self, desk, url, program_post):
        content = desk.get(url).content.decode()

        assert 'name="contractions_per_bout" value="15"' in content
        assert 'name="bout_min" value=' not in content

    def test_minutes_of_their_own_are_kept(self, desk, url, revision, clinician, now):
        from datetime import timedelta

        revision_add(
            program=revision.program,
            by=clinician,
            dose=make_dose(bout_min=18),
            stimulator=revision.stimulator,
            first_day=now.date() + timedelta(days=2),
            reason="warm-up too",
            now=now,
        )

        assert 'name="bout_min" value="18"' in desk.get(url).content.decode()

    def test_no_short_first_week_is_offered(self, desk, url):
        assert "short first week" not in text_of(desk.get(url))


def test_a_form_read_from_a_post_asks_the_same(program_post):
    typed = QueryDict(mutable=True)
    for name, value in program_post.items():
        typed.setlist(name, value if isinstance(value, list) else [value])

    form = ProgramForm(typed, stimulators=[Profile(program_post["stimulator"])])

    assert asked(form).request["intensity_ma"] == 60
