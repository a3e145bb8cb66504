"""Who is there and who covers: everybody for themselves, a lead for all."""

from datetime import date

import pytest
from django.urls import reverse

from clinician.models import Absence, WorkingWeek
from homeprogram.services.clinics import clinician_invite
from tests.conftest import make_clinician
from tests.support.reading import text_of

AWAY = {"first_day": "2030-03-06", "last_day": "2030-03-07", "note": ""}


@pytest.fixture
def cover(clinic, now):
    return make_clinician(clinic, "noor@larkrise.example", now, name="Noor Cover")


def roster(browser) -> str:
    return text_of(browser.get(reverse("roster")))


def of(name: str, clinician) -> str:
    return reverse(name, kwargs={"clinician_id": clinician.id})


def test_the_roster_says_who_is_there_and_when_nobody_is(desk, lead):
    text = roster(desk)

    assert "Mon, Tue, Wed, Thu, Fri; cover: whoever is on duty" in text
    assert "Mon 4 on : on duty" in text
    assert "Sat 9 off : off" in text
    assert "Nobody is on duty on Sat 9 Mar, Sun 10 Mar, Sat 16 Mar and Sun 17 Mar" in text


def test_a_clinician_sets_their_own_days_and_cover(desk, clinician, cover):
    desk.post(reverse("roster-week-own"), {"weekdays": ["1", "3"], "cover": str(cover.id)})

    week = WorkingWeek.objects.get()
    assert (week.clinician, week.weekdays, week.cover) == (clinician, [1, 3], cover)
    assert "Tue, Thu; cover: Noor Cover" in roster(desk)


def test_the_form_begins_with_what_stands(desk, clinician, cover):
    desk.post(reverse("roster-week-own"), {"weekdays": ["1"], "cover": str(cover.id)})

    form = desk.get(reverse("roster-week-own")).context["form"]

    assert form.initial == {"weekdays": ["1"], "cover": str(cover.id)}


def test_a_clinician_says_that_they_are_away_and_who_covers(desk, clinician, cover):
    desk.post(reverse("roster-absence-own"), AWAY | {"cover": str(cover.id), "note": "course"})

    absence = Absence.objects.get()
    assert (absence.clinician, absence.first_day, absence.cover) == (
        clinician, date(2030, 3, 6), cover,
    )  # fmt: skip
    text = roster(desk)
    assert "Ro Desk , Wed 6 Mar 2030 to Thu 7 Mar 2030: Noor Cover covers (course)" in text
    assert "Wed 6 away : away, Noor Cover covers" in text


def test_nobody_waits_for_an_invited_person_without_a_password(desk, clinic, now):
    clinician_invite(clinic=clinic, email="tess@larkrise.example", name="Tess Orrin", now=now)

    assert "Tess Orrin" not in roster(desk)
    assert "Tess Orrin" not in text_of(desk.get(reverse("roster-absence-own")))


def test_nobody_covers_for_themselves(desk, clinician, cover):
    response = desk.post(reverse("roster-absence-own"), AWAY | {"cover": str(clinician.id)})

    assert "not one of the available choices" in text_of(response)


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        ({"cover": ""}, "Choose one."),
        ({"last_day": "2030-03-05"}, "The last day cannot come before the first."),
    ],
)
def test_an_absence_leaves_nothing_open(desk, cover, told, sentence):
    response = desk.post(reverse("roster-absence-own"), AWAY | {"cover": str(cover.id)} | told)

    assert sentence in text_of(response)
    assert not Absence.objects.exists()


def test_days_on_record_are_not_taken_twice(desk, cover):
    told = AWAY | {"cover": str(cover.id)}
    desk.post(reverse("roster-absence-own"), told)

    response = desk.post(reverse("roster-absence-own"), told)

    assert "on record already" in text_of(response)
    assert Absence.objects.count() == 1


def test_a_lead_sets_days_and_absences_of_others(lead_desk, lead, clinician):
    lead_desk.post(of("roster-week", clinician), {"weekdays": ["0"], "cover": str(lead.id)})
    lead_desk.post(of("roster-absence", clinician), AWAY | {"cover": str(lead.id)})

    assert WorkingWeek.objects.get().clinician == clinician
    assert (Absence.objects.get().clinician, Absence.objects.get().recorded_by) == (clinician, lead)


def test_on_closed_days_the_roster_says_who_answers(lead_desk, clinician, lead):
    lead_desk.post(
        reverse("roster-closure"), AWAY | {"cover": str(clinician.id), "note": "founder's day"}
    )

    text = roster(lead_desk)
    assert "Wed 6 asked : answers for the closed clinic" in text
    assert "Wed 6 closed : clinic closed" in text
    assert "Ro Desk answers (founder's day)" in text


def test_an_absence_is_taken_back_by_whose_it_is(desk, clinician, cover):
    desk.post(reverse("roster-absence-own"), AWAY | {"cover": str(cover.id)})
    absence = Absence.objects.get()

    desk.post(reverse("absence-back", kwargs={"absence_id": absence.id}))

    absence.refresh_from_db()
    assert absence.taken_back_by == clinician
    assert "None on record." in roster(desk)


def test_nobody_takes_back_a_colleagues_absence_or_a_closure_but_a_lead(
    desk, lead_desk, clinician, lead
):
    lead_desk.post(reverse("roster-closure"), AWAY | {"cover": str(clinician.id)})
    lead_desk.post(reverse("roster-absence-own"), AWAY | {"cover": str(clinician.id)})
    urls = [reverse("absence-back", kwargs={"absence_id": a.id}) for a in Absence.objects.all()]

    refused = [desk.post(url).status_code for url in urls]
    taken = [lead_desk.post(url).status_code for url in urls]

    assert (refused, taken) == ([404, 404], [302, 302])


def test_a_roster_costs_no_more_for_ten(desk, clinic, now, django_assert_num_queries):
    desk.get(reverse("roster"))
    for n in range(10):
        make_clinician(clinic, f"c{n}@larkrise.example", now, name=f"C{n}")

    with django_assert_num_queries(2 + 2):  # two of them ask who is there
        desk.get(reverse("roster"))
