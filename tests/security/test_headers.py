"""Headers that every answer carries, errors included."""

import pytest
from django.urls import reverse

from tests.security.routes import every_route, parameters_of

PLAIN = sorted(route.name for route in every_route() if not parameters_of(route))
FORBIDDEN = ("unsafe-inline", "unsafe-eval", "*", "http:", "https:")


def directives(response) -> dict[str, list[str]]:
    policy = response["Content-Security-Policy"]
    parts = [part.split() for part in policy.split(";") if part.strip()]
    return {name: values for name, *values in parts}


def assert_guarded(response) -> None:
    policy = directives(response)
    assert policy["default-src"] == ["'none'"]
    assert policy["script-src"] == ["'self'"]
    assert policy["style-src"] == ["'self'"]
    assert policy["frame-ancestors"] == ["'none'"]
    assert policy["base-uri"] == ["'none'"]
    assert policy["object-src"] == ["'none'"]
    assert policy["require-trusted-types-for"] == ["'script'"]
    assert not any(word in value for values in policy.values() for value in values
                   for word in FORBIDDEN)  # fmt: skip
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["X-Frame-Options"] == "DENY"
    assert response["Referrer-Policy"] == "same-origin"
    assert response["Cross-Origin-Opener-Policy"] == "same-origin"
    assert response["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "camera=()" in response["Permissions-Policy"]
    assert response["Cache-Control"]


@pytest.mark.parametrize("method", ["get", "post", "delete"])
@pytest.mark.parametrize("name", PLAIN)
def test_every_route_answers_with_every_header(client, db, lead, name, method):
    client.force_login(lead.user)

    assert_guarded(getattr(client, method)(reverse(name)))


@pytest.mark.parametrize("method", ["get", "post"])
@pytest.mark.parametrize("name", PLAIN)
def test_a_stranger_gets_every_header_too(client, db, name, method):
    assert_guarded(getattr(client, method)(reverse(name)))


@pytest.mark.parametrize("path", ["/nowhere", "/desk/nowhere", "/api/v1/nowhere", "/p/nowhere"])
def test_what_is_not_there_answers_with_every_header(client, db, path):
    response = client.get(path)

    assert response.status_code == 404
    assert_guarded(response)


def test_a_bad_host_answers_with_every_header(client, db):
    response = client.get("/healthz", headers={"Host": "elsewhere.example"})

    assert response.status_code == 400
    assert_guarded(response)


def test_a_fault_of_ours_answers_with_every_header(client, db, desk, monkeypatch):
    from clinician.views.panel import PanelView

    def break_down(*args, **kwargs):
        raise RuntimeError("planted")

    monkeypatch.setattr(PanelView, "get", break_down)
    desk.raise_request_exception = False

    response = desk.get("/desk/")

    assert response.status_code == 500
    assert b"planted" not in response.content
    assert_guarded(response)


def test_a_form_without_its_token_answers_with_every_header(db, clinician):
    from django.test import Client

    browser = Client(enforce_csrf_checks=True)
    browser.force_login(clinician.user)

    response = browser.post(reverse("patient-add"))

    assert response.status_code == 403
    assert_guarded(response)


def test_answers_to_a_phone_are_never_cached(phone):
    assert "no-store" in phone.pull()["Cache-Control"]
