"""The charts of the patient page: one source for drawing, table, sheet and JSON."""

import csv
import io
import json
import re
from datetime import date, timedelta

import pytest
from django.urls import reverse

from homeprogram.calc.guidance import method
from homeprogram.calc.strength import error_of_index
from homeprogram.services.programs import revision_add
from tests.conftest import make_dose, make_program
from tests.support.prescribing import make_strength_test
from tests.support.reading import text_of

DAY = timedelta(days=1)


def numbers_url(patient, *, file: bool = False, weeks: str = "") -> str:
    name = "course-numbers-file" if file else "course-numbers"
    url = reverse(name, kwargs={"patient_id": patient.id})
    return f"{url}?weeks={weeks}" if weeks else url


def embedded(response) -> dict:
    """What the page's script draws from."""
    found = re.search(r'id="course-data"[^>]*>(.*?)</script>', response.content.decode())
    return json.loads(found.group(1))


def chart(data: dict, code: str, limb: int = 0) -> dict:
    return next(one for one in data["limbs"][limb]["charts"] if one["code"] == code)


def sheet(response) -> list[list[str]]:
    return list(csv.reader(io.StringIO(response.content.decode())))


@pytest.fixture
def lived(story):
    """A week: three days with a bout, one left out, the rest unheard."""
    for day in ("2030-03-05", "2030-03-06", "2030-03-08"):
        story.push(story.bout(day), after=(date.fromisoformat(day) - story.now.date()))
    story.push(after=5 * DAY, claim=True)
    story.wait(7 * DAY)
    return story


def test_a_missed_day_is_zero_and_an_unheard_one_a_gap(desk, patient_url, lived):
    bouts = chart(embedded(desk.get(patient_url)), "bouts")

    #  5 Mar .. 11 Mar
    assert bouts["lines"][0]["values"][-7:] == [1, 1, 0, 1, None, None, None]
    assert bouts["lines"][0]["values"][:-7] == [None] * 21


def test_the_page_the_json_and_the_sheet_say_the_same(desk, patient_url, patient, lived):
    page = embedded(desk.get(patient_url))
    told = desk.get(numbers_url(patient)).json()
    head, *rows = sheet(desk.get(numbers_url(patient, file=True)))

    assert told == page
    [limb] = told["limbs"]
    assert [row[0] for row in rows] == ["LEFT"] * 28
    assert [row[1] for row in rows] == limb["days"]
    assert [row[2] for row in rows] == limb["status"]
    for one in limb["charts"]:
        for line in one["lines"]:
            at = head.index(f"{one['title']}, {line['name']}, {one['unit']}")
            assert [float(r[at]) if r[at] else None for r in rows] == line["values"]


def test_the_table_beside_a_chart_has_its_numbers(desk, patient_url, lived):
    response = desk.get(patient_url)
    tables = re.findall(r'<table class="numbers">.*?</table>', response.content.decode())

    drawn = embedded(response)["limbs"][0]["charts"]

    assert len(tables) == len(drawn) == 6
    for table, one in zip(tables, drawn, strict=True):
        rows = re.findall(r"<tr><th scope=\"row\">.*?</tr>", table)
        cells = [re.findall(r"<td>(.*?)</td>", row)[1:] for row in rows]
        told = [[None if cell == "gap" else float(cell) for cell in row] for row in cells]
        assert told == [list(v) for v in zip(*(li["values"] for li in one["lines"]), strict=True)]


@pytest.mark.parametrize(
    ("weeks", "days"), [("", 28), ("4", 28), ("12", 84), ("all", 8), ("x", 28)]
)
def test_the_range_is_four_or_twelve_weeks_or_the_whole_course(desk, patient, lived, weeks, days):
    told = desk.get(numbers_url(patient, weeks=weeks)).json()

    assert len(told["limbs"][0]["days"]) == days
    assert told["last"] == "2030-03-11"


def test_a_course_of_years_is_cut_at_a_year(desk, patient, lived):
    lived.wait(390 * DAY)

    told = desk.get(numbers_url(patient, weeks="all")).json()

    assert len(told["limbs"][0]["days"]) == 366


def test_a_range_keeps_the_page_to_itself(desk, patient_url, lived):
    response = desk.get(f"{patient_url}?weeks=12")

    assert len(embedded(response)["limbs"][0]["days"]) == 84
    assert 'href="?weeks=12#charts" aria-current="true"' in response.content.decode()


def test_both_limbs_share_the_axis_and_the_scale(desk, patient_url, patient, clinician, lived):
    make_program(patient, clinician, lived.now, "right", bouts_per_day=3)

    data = embedded(desk.get(patient_url))

    assert [limb["limb"] for limb in data["limbs"]] == ["LEFT", "RIGHT"]
    assert data["limbs"][0]["days"] == data["limbs"][1]["days"]
    right = [one["code"] for one in data["limbs"][1]["charts"]]
    assert [chart(data, c)["top"] for c in right] == [chart(data, c, 1)["top"] for c in right]


def test_revisions_in_effect_and_tests_are_marked_on_their_days(
    desk, patient_url, clinician, lived
):
    make_strength_test(lived.revision.program.episode, clinician, lived.now + 6 * DAY)
    revision_add(
        program=lived.revision.program,
        by=clinician,
        dose=make_dose(contractions_per_bout=20),
        stimulator=lived.revision.stimulator,
        first_day=date(2030, 3, 12),
        reason="more",
        now=lived.now + 6 * DAY,
    )

    marks = embedded(desk.get(patient_url))["limbs"][0]["marks"]

    # The new revision has not been pulled: it is in effect from no day yet.
    assert marks == [
        {"day": "2030-03-05", "kind": "revision", "label": "revision 1"},
        {"day": "2030-03-10", "kind": "test", "label": "strength test"},
    ]


def test_an_index_shows_its_error_and_its_goals(desk, patient_url, clinician, episode, lived):
    make_strength_test(episode, clinician, lived.now + 6 * DAY)

    indices = chart(embedded(desk.get(patient_url)), "lsi")
    error = error_of_index(80, mdc_pct=method("electromechanical").mdc_pct)

    assert [line["values"][-2] for line in indices["lines"][:3]] == [
        80,
        round(80 - error, 1),
        round(80 + error, 1),
    ]
    assert [goal["value"] for goal in indices["goals"]] == [80, 90]
    goals = {
        one: chart(embedded(desk.get(patient_url)), one)["goals"] for one in ("epic", "evoked")
    }
    assert [goals[one][0]["value"] for one in goals] == [90, 50]


def test_a_chart_says_in_words_what_it_shows(desk, patient_url, lived):
    said = chart(embedded(desk.get(patient_url)), "discomfort")["said"]

    assert "3 days of 28 with a number, always 3, newest 3 on Fri 8 Mar." in said


def test_few_points_are_never_called_a_change(desk, patient_url, lived):
    drawn = embedded(desk.get(patient_url))["limbs"][0]["charts"]

    assert [one for one in drawn if one["signs"] or "change" in one["said"]] == []
    assert "Too few points beside the median to judge its course (0 of 12)." in drawn[-1]["said"]


def test_a_course_that_moved_shows_a_sign(desk, patient_url, story):
    for n in range(24):
        rating = 2 if n < 12 else 6
        day = story.now + (n + 1) * DAY
        story.push(
            story.bout(day.date().isoformat(), discomfort=rating), after=(n + 1) * DAY + DAY / 2
        )

    response = desk.get(patient_url)
    found = chart(embedded(response), "discomfort")

    assert "12 points running on one side of the median (up to 8 may be chance)" in found["signs"]
    assert "1 crossing of the median" in found["signs"]
    assert "Sign of a change: Discomfort" in text_of(response)
    assert chart(embedded(response), "knee_pain")["signs"] == ""


def test_the_help_says_how_often_chance_alone_shows_a_sign(desk, patient_url, lived):
    assert "Of 100 series in which nothing changes, 1.4 to 6.9 still show a sign" in text_of(
        desk.get(patient_url)
    )


def test_a_patient_without_an_episode_has_nothing_to_draw(desk, patient_url):
    assert "Nothing to draw: no limb with an episode in these weeks." in text_of(
        desk.get(patient_url)
    )


def test_old_data_say_so_at_every_chart(desk, patient_url, lived):
    content = desk.get(patient_url).content.decode()

    assert content.count("Phone heard 2 days ago.") == 0
    lived.wait(9 * DAY)
    content = desk.get(patient_url).content.decode()
    charts = len(re.findall('<article class="card multiple"', content))
    assert content.count("Phone heard 4 days ago.") == charts > 0


def test_the_sheet_is_a_download_that_names_nobody(desk, patient, lived):
    response = desk.get(numbers_url(patient, file=True))

    assert response["Content-Disposition"] == 'attachment; filename="course.csv"'
    assert "Wilma" not in response.content.decode()
