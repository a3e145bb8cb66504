"""The sheet for the patient: large, plain, one page, with a code only when asked."""

import re

import pytest
from django.urls import reverse

from homeprogram.models import PairingCode
from tests.conftest import make_program
from tests.support.reading import text_of


@pytest.fixture
def url(revision) -> str:
    return reverse("program-sheet", kwargs={"revision_id": revision.id})


def test_it_says_the_dose_in_plain_words(desk, url):
    text = text_of(desk.get(url))

    assert "1 bout every day" in text
    assert "15 times on, about 15 minutes" in text
    assert "10 seconds on, 50 seconds rest" in text
    assert "Start at zero. Turn it up slowly. Channel 1: aim for at least 30 mA, never" in text
    assert "Tighten the thigh. Push the knee down and hold." in text


def test_two_bouts_a_day_say_how_far_apart(sheet_for):
    text = text_of(sheet_for("left", bouts_per_day=2, weekdays=(0, 2, 4)))

    assert "2 bouts a day on Monday, Wednesday and Friday, at least 3 hours apart" in text


def test_it_says_whom_to_call(desk, url):
    text = text_of(desk.get(url))

    assert "112 at once" in text
    assert "01632 960 001" in text
    assert "Call the out-of-hours line on 01632 960 002." in text


def test_the_clinics_cautions_stand_beside_those_for_everybody(desk, url, clinic):
    clinic.texts = {"cautions": ["Ask before you swim."]}
    clinic.save()

    text = text_of(desk.get(url))

    assert "Ask before you swim." in text
    assert "Never use the current while you drive" in text


@pytest.fixture
def sheet_for(desk, patient, clinician, now):
    def page(limb: str, **dose):
        revision = make_program(patient, clinician, now, limb=limb, **dose)
        return desk.get(reverse("program-sheet", kwargs={"revision_id": revision.id}))

    return page


def test_it_is_in_spanish_when_asked_for(sheet_for, desk):
    response = sheet_for("left", bouts_per_day=2, weekdays=(0, 2, 4))

    text = text_of(desk.get(response.request["PATH_INFO"], {"language": "es"}))

    assert "pierna IZQUIERDA" in text
    assert "2 sesiones al día: lunes, miércoles y viernes, con al menos 3 horas entre ellas" in text
    assert "10 segundos con corriente, 50 segundos de descanso" in text
    assert "Empiece en cero. Suba despacio. Canal 1: llegue al menos a 30 mA" in text
    assert "Apriete el muslo. Push the knee down and hold." in text  # the clinician's own words
    assert "Nunca use la corriente al manejar" in text
    assert "El muslo de la pierna izquierda visto desde arriba" in response_html(desk, response)
    assert "Print" in text  # the desk around it stays as it is
    assert "sheet." not in text


def response_html(desk, response) -> str:
    return desk.get(response.request["PATH_INFO"], {"language": "es"}).content.decode()


@pytest.mark.parametrize(("limb", "first_pad_x"), [("left", "78"), ("right", "130")])
def test_the_pads_are_drawn_on_the_limbs_own_side(sheet_for, limb, first_pad_x):
    response = sheet_for(limb)

    content = response.content.decode()
    assert f"{limb.upper()} leg" in text_of(response)
    assert f'<text class="thigh-number" x="{first_pad_x}"' in content
    assert f"The {limb} thigh seen from above" in content
    assert ("scale(-1 1)" in content) is (limb == "right")


def test_looking_makes_no_code(desk, url):
    response = desk.get(url)

    assert not PairingCode.objects.exists()
    assert "Pair your phone" not in text_of(response)


def test_a_fresh_code_is_printed_when_asked_for(desk, url, patient):
    response = desk.post(url)

    row = PairingCode.objects.get()
    code = re.search(r"<strong>([A-Z]{5}-[A-Z]{5})</strong>", response.content.decode()).group(1)
    assert row.patient == patient
    assert (row.expires_at - row.created_at).total_seconds() == 600
    assert code.replace("-", "") not in (row.code_hash, row.link_hash)
    assert re.search(r'<svg[^>]* viewBox="0 0 [^"]+"[^>]*class="segno"', response.content.decode())
    assert " style=" not in response.content.decode()


@pytest.mark.parametrize(
    ("language", "steps"),
    [
        ("en", ("On an iPhone", "Open Safari. Go to testserver/p/", "Tap “Pair now”")),
        ("es", ("En un iPhone", "Abra Safari. Vaya a testserver/p/", "Toque “Conectar ahora”")),
    ],
)
def test_the_paper_with_a_code_says_how_to_open_the_app(desk, url, language, steps):
    page = text_of(desk.post(f"{url}?language={language}"))

    for step in steps:
        assert step in page


def test_another_clinics_sheet_is_not_there(outside_desk, url):
    assert outside_desk.get(url).status_code == 404
    assert outside_desk.post(url).status_code == 404
    assert not PairingCode.objects.exists()
