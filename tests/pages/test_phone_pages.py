"""The phone's pages that Django renders: in the patient's language, and nobody's own."""

import gzip

import pytest

from project.errors import server_error
from tests.support.reading import text_of


@pytest.mark.parametrize(
    ("address", "accepted", "language", "words"),
    [
        ("/rescue/", "", "en", "If the app does not work"),
        ("/rescue/", "es-MX,es;q=0.9,en;q=0.8", "es", "Si la app no funciona"),
        ("/rescue/", "fr-CA, es;q=0.5", "es", "Si la app no funciona"),
        ("/rescue/?language=es", "en", "es", "Si la app no funciona"),
        ("/rescue/?language=xx", "en", "en", "If the app does not work"),
    ],
)
def test_the_rescue_page_speaks_as_asked(client, address, accepted, language, words):
    response = client.get(address, headers={"Accept-Language": accepted})

    assert f'<html lang="{language}" dir="ltr"' in response.content.decode()
    assert words in text_of(response)
    assert response["Vary"] == "Accept-Language"


def test_the_rescue_page_has_no_key_in_the_place_of_words(client):
    for language in ("en", "es"):
        content = client.get("/rescue/", {"language": language}).content.decode()
        assert "rescue." not in content.replace("patient/rescue.", "")
        assert "kind." not in content


def test_the_shell_is_the_same_for_everybody_and_speaks_both_before_the_app_does(client):
    english = client.get("/p/", headers={"Accept-Language": "en"})
    spanish = client.get("/p/", headers={"Accept-Language": "es"})

    assert english.content == spanish.content
    assert "Nothing opens here?" in text_of(english)
    assert "¿No se abre nada aquí?" in text_of(english)
    assert 'name="words-es"' in english.content.decode()
    assert "shell." not in english.content.decode()


@pytest.mark.parametrize("address", ["/p/", "/p/sw.js"])
def test_a_phone_that_takes_gzip_gets_shell_and_worker_in_half_the_bytes(client, address):
    plain = client.get(address)
    packed = client.get(address, headers={"Accept-Encoding": "gzip"})

    assert packed["Content-Encoding"] == "gzip"
    assert gzip.decompress(packed.content) == plain.content
    assert len(packed.content) < len(plain.content) / 2


def test_the_desk_speaks_english_whatever_the_browser_asks_for(client):
    response = client.get("/account/login/", headers={"Accept-Language": "es"})

    assert '<html lang="en"' in response.content.decode()
    assert "contraseña" not in response.content.decode()


@pytest.mark.parametrize(
    ("accepted", "language", "words"),
    [
        ("en", "en", "Your home program"),
        ("es-MX,es;q=0.9", "es", "Su programa"),
        ("fr", "en", "Your home program"),
    ],
)
def test_the_manifest_speaks_as_the_browser_asks_and_stays_the_same_app(
    client, accepted, language, words
):
    response = client.get("/manifest.json", headers={"Accept-Language": accepted})
    manifest = response.json()

    assert manifest["lang"] == language
    assert manifest["description"].startswith(words)
    assert (manifest["id"], manifest["start_url"], manifest["scope"]) == ("/p/", "/p/", "/p/")
    assert response["Vary"] == "Accept-Language"


@pytest.mark.parametrize(
    ("accepted", "words"), [("en", "This page is not there"), ("es", "Esta página no existe")]
)
def test_a_patient_at_a_wrong_address_is_led_to_the_app_in_their_language(client, accepted, words):
    response = client.get("/p/nothing/", headers={"Accept-Language": accepted})

    assert response.status_code == 404
    assert words in text_of(response)
    assert 'href="/p/"' in response.content.decode()
    assert "shell." not in response.content.decode()


@pytest.mark.parametrize(("accepted", "words"), [("en", "The fault is ours"), ("es", "es nuestra")])
def test_what_breaks_for_a_patient_says_so_in_their_language(rf, accepted, words):
    request = rf.get("/rescue/", headers={"Accept-Language": accepted})

    response = server_error(request)

    assert response.status_code == 500
    assert words in response.content.decode()


def test_the_desk_hears_of_a_fault_in_its_own_words(rf):
    assert "Something broke on our side" in server_error(rf.get("/desk/")).content.decode()
