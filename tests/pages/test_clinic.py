"""The clinic's texts and thresholds, for a lead."""

import pytest
from django.urls import reverse

from clinician.forms.clinic import ClinicTextsForm
from clinician.forms.thresholds import ClinicRulesForm
from homeprogram.models import Change
from tests.support.reading import text_of

TEXTS = "/desk/clinic/texts/"
RULES = "/desk/clinic/rules/"
HISTORY = "/desk/clinic/history/"


def texts(clinic, **changes) -> dict:
    return ClinicTextsForm.initial_of(clinic) | changes


def rules(clinic, **changes) -> dict:
    shown = ClinicRulesForm.initial_of(clinic) | {"under_dose_share": 60}  # in per cent there
    return {k: v for k, v in shown.items() if k != "window_days"} | changes


def test_our_texts_are_shown_until_the_clinic_writes_its_own(lead_desk):
    assert (
        "Take the pads off. Keep the skin clean and dry." in lead_desk.get(TEXTS).content.decode()
    )


def test_only_what_differs_is_kept(lead_desk, clinic):
    answer = texts(clinic, skin_3="Stop. Ring us today.", phone_number="01632 960 111")

    response = lead_desk.post(TEXTS, answer)

    clinic.refresh_from_db()
    assert response.url == reverse("clinic-texts")
    assert clinic.texts == {"skin": {"3": "Stop. Ring us today."}}
    assert clinic.phone_number == "01632 960 111"


def test_an_emptied_text_falls_back_to_ours(lead_desk, clinic):
    lead_desk.post(TEXTS, texts(clinic, skin_3="Own words."))
    clinic.refresh_from_db()

    lead_desk.post(TEXTS, texts(clinic, skin_3=""))

    clinic.refresh_from_db()
    assert clinic.texts == {}


def test_every_phone_hears_of_new_texts(lead_desk, clinic, patient):
    before = Change.objects.filter(patient=patient, type="texts").count()

    lead_desk.post(TEXTS, texts(clinic, hours="Always"))

    assert Change.objects.filter(patient=patient, type="texts").count() == before + 1


def test_a_clinic_can_always_be_called(lead_desk, clinic):
    response = lead_desk.post(TEXTS, texts(clinic, phone_number=""))

    assert "Fill this in." in text_of(response)


def test_thresholds_show_what_is_usual_and_keep_what_differs(lead_desk, clinic):
    assert "Usual: 48" in text_of(lead_desk.get(RULES))

    lead_desk.post(RULES, rules(clinic, no_contact_h=72))

    clinic.refresh_from_db()
    assert clinic.rules == {"no_contact_h": 72}


def test_a_share_is_written_and_kept_as_per_cent_of_the_whole(lead_desk, clinic):
    page = lead_desk.get(RULES).content.decode()
    assert 'value="60"' in page[page.index('name="under_dose_share"') :][:120]

    lead_desk.post(RULES, rules(clinic, under_dose_share=75))

    clinic.refresh_from_db()
    assert clinic.rules == {"under_dose_share": 0.75}
    assert "Below this share of contractions: as usual → 75 %" in text_of(lead_desk.get(HISTORY))


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [
        ("missed_of_last", 9, "More days than the window holds."),
        ("under_dose_known_days", 9, "More known days than days."),
        ("no_contact_h", 1, "greater than or equal to 24"),
        ("skin_any_grade", 5, "less than or equal to 3"),
        ("under_dose_share", "half", "Enter a whole number."),
        ("under_dose_share", 0.6, "Enter a whole number."),
        ("under_dose_share", 101, "less than or equal to 100"),
    ],
)
def test_odd_thresholds_are_refused(lead_desk, clinic, name, value, sentence):
    response = lead_desk.post(RULES, rules(clinic, **{name: value}))

    clinic.refresh_from_db()
    assert sentence in text_of(response)
    assert clinic.rules == {}


def spanish(clinic, **changes) -> dict:
    return ClinicTextsForm.initial_of(clinic, "es") | changes


def test_a_clinic_that_kept_our_texts_has_them_in_spanish_too(lead_desk):
    assert "Llame hoy a la clínica." in lead_desk.get(TEXTS, {"language": "es"}).content.decode()


def test_own_words_in_spanish_stand_beside_the_others(lead_desk, clinic):
    lead_desk.post(TEXTS, texts(clinic, skin_3="Stop. Ring us today."))
    clinic.refresh_from_db()

    lead_desk.post(f"{TEXTS}?language=es", spanish(clinic, skin_3="Pare. Llámenos hoy."))

    clinic.refresh_from_db()
    assert clinic.texts == {
        "skin": {"3": "Stop. Ring us today."},
        "in": {"es": {"skin": {"3": "Pare. Llámenos hoy."}}},
    }


def test_english_that_is_saved_again_keeps_the_spanish(lead_desk, clinic):
    lead_desk.post(f"{TEXTS}?language=es", spanish(clinic, hold_all="Nada por ahora."))
    clinic.refresh_from_db()

    lead_desk.post(TEXTS, texts(clinic))

    clinic.refresh_from_db()
    assert clinic.texts == {"in": {"es": {"hold": {"all": "Nada por ahora."}}}}


def test_spanish_that_is_emptied_falls_back(lead_desk, clinic):
    lead_desk.post(f"{TEXTS}?language=es", spanish(clinic, hold_all="Nada por ahora."))
    clinic.refresh_from_db()

    lead_desk.post(f"{TEXTS}?language=es", spanish(clinic, hold_all=""))

    clinic.refresh_from_db()
    assert clinic.texts == {}
