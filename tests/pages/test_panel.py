"""The panel: one row per patient, in words and marks, at a fixed cost."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from homeprogram.models import Flag
from homeprogram.services.patients import patient_add
from tests.conftest import PairedPhone, make_program
from tests.entries import skin
from tests.support.pushes import push_at
from tests.support.reading import text_of

URL = "/desk/"
DAY, MINUTE = timedelta(days=1), timedelta(minutes=1)


def check(moment: str = "after", **facts) -> tuple[str, dict]:
    return "skin_check", skin(moment, **facts)


# Every way a reaction can be told; the last is only one together with the check before.
REACTIONS = {
    "raised after a bout": [check(raised=True)],
    "broken after a bout": [check(broken=True)],
    "a change that stayed overnight": [check("next_morning", colour="slight", pattern="even")],
    "sore before the next bout": [check("before", sore=True)],
    "itch twice running": [check(itchy=True, sore=True, colour="slight", pattern="even")] * 2,
}


@pytest.mark.parametrize("told", REACTIONS.values(), ids=REACTIONS)
def test_a_skin_reaction_stands_on_top_as_soon_as_its_push_is_answered(
    desk, story, told, clinician, now
):
    other = patient_add(by=clinician, name="Abel Calm", now=now, zone="UTC")
    asks = PairedPhone(other, clinician, now)
    wish = {"text": "Please call me.", "wants_contact": True}
    push_at(asks, now, asks.entry("note_to_clinic", wish))

    story.push(*[story.entry(kind, payload) for kind, payload in told])
    content = desk.get(URL).content.decode()

    first = content[content.index('class="group ') :].partition("data-find-row")[2]
    assert 'class="group group-safety"' in content.partition("data-find-row")[0]
    assert "Wilma Tarn" in first.partition("data-find-row")[0]
    assert "Abel Calm" in content
    assert timezone.now() - Flag.objects.get(reason="skin_reaction").opened_at < MINUTE


def test_an_empty_panel_says_what_to_do_first(desk):
    response = desk.get(URL)

    assert "No patients yet" in text_of(response)
    assert reverse("patient-add") in response.content.decode()


def test_a_row_tells_the_patients_week(desk, story):
    three_days = timedelta(days=3)  # Thursday morning: Wednesday is still open
    story.push(story.bout("2030-03-05", discomfort=6), after=three_days, claim=True)
    story.wait(three_days + timedelta(hours=4))

    text = text_of(desk.get(URL))

    assert "Wilma Tarn" in text
    assert "phone heard 4 hours ago" in text
    assert "Tue 5 Mar: done, 1 of 1 bout, 15 contractions" in text
    assert "Thu 7 Mar: still open" in text
    assert "discomfort 6 of 10" in text
    assert "LEFT" in text


def test_a_day_nobody_has_heard_of_is_not_missed(desk, story):
    story.wait(timedelta(days=4))

    text = text_of(desk.get(URL))

    assert "Tue 5 Mar: not known yet" in text
    assert ": missed" not in text
    assert "2 of 2 days not known yet" in text


def test_a_day_behind_the_watermark_is_missed(desk, story):
    story.push(after=timedelta(days=4), claim=True)

    assert "Tue 5 Mar: missed" in text_of(desk.get(URL))


def test_every_status_has_its_own_mark_and_word(desk, revision):
    content = desk.get(URL).content.decode()

    marks = set(re.findall(r'<symbol id="mark-(\w+)"', content))
    legend = set(re.findall(r'<li class="mark (\w+)"><svg', content))
    shapes = re.findall(r"<symbol[^>]*>(.*?)</symbol>", content)

    assert len(legend) == 8
    assert legend <= marks
    assert len(set(shapes)) == len(shapes) == len(marks)


def test_a_raised_patch_holds_the_limb_and_stands_on_top(desk, story, clinician, now):
    patient_add(by=clinician, name="Abel Calm", now=now)
    story.push(story.entry("skin_check", skin(raised=True), for_date="2030-03-04"))

    text = text_of(desk.get(URL))

    assert text.index("Wilma Tarn") < text.index("Abel Calm")
    assert "Hold: no bout on the LEFT leg" in text
    assert "Skin reaction LEFT : grade 3 of 4, after the bout, Mon 4 Mar" in text
    assert "skin grade 3 of 4" in text


def test_two_limbs_stand_in_one_row(desk, patient, revision, clinician, now):
    make_program(patient, clinician, now, limb="right")

    content = desk.get(URL).content.decode()

    assert content.count("data-find-row") == 1
    assert 'aria-label="LEFT, last 14 days"' in content
    assert 'aria-label="RIGHT, last 14 days"' in content


def test_a_revision_the_phone_has_not_named_is_said_so(desk, phone):
    assert "revision 1 not yet on the phone" in text_of(desk.get(URL))


def test_a_patient_without_a_phone_is_said_so(desk, revision):
    assert "no phone paired" in text_of(desk.get(URL))


def test_only_this_clinics_patients_are_listed(outside_desk, revision):
    assert "Wilma" not in text_of(outside_desk.get(URL))


def test_names_are_escaped(desk, clinician, now):
    patient_add(by=clinician, name="<script>alert(1)</script>", now=now)

    content = desk.get(URL).content.decode()

    assert "<script>alert" not in content
    assert "&lt;script&gt;alert" in content


def fill(clinician, now, numbers: range) -> None:
    for number in numbers:
        patient = patient_add(by=clinician, name=f"Patient {number}", now=now, zone="UTC")
        revision = make_program(patient, clinician, now)
        # One address pairs at most twenty phones an hour.
        phone = PairedPhone(patient, clinician, now - DAY + number * timedelta(minutes=5))
        entry = phone.entry(
            "skin_check", skin(raised=True), episode_id=str(revision.program.episode_id)
        )
        push_at(phone, now, entry, have=[revision.id])


def test_forty_patients_cost_no_more_queries_than_five(
    desk, clinician, now, django_assert_max_num_queries, django_assert_num_queries
):
    fill(clinician, now, range(5))
    desk.get(URL)  # the session is written once a minute
    with django_assert_max_num_queries(12) as five:
        desk.get(URL)

    fill(clinician, now, range(5, 40))
    with django_assert_num_queries(len(five)):
        response = desk.get(URL)

    assert response.content.decode().count("data-find-row") == 40


def test_the_order_is_explained_on_the_page(desk, revision):
    assert "Order: safety, needs a look, contact, pain and discomfort" in text_of(desk.get(URL))


def test_a_limb_below_the_clinics_bar_says_so(desk, story, clinic):
    story.push(story.bout("2030-03-05"), after=timedelta(days=5), claim=True)

    usual = text_of(desk.get(URL))
    clinic.settings = {"adherence_bar_pct": 50}
    clinic.save(update_fields=["settings"])
    story.push(story.bout("2030-03-06"), after=timedelta(days=5), claim=True)

    assert "under 80 % of bouts 1 of 3 bouts" in usual
    assert "under 50 % of bouts" not in text_of(desk.get(URL))
