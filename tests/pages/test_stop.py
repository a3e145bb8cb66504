"""The page that ends reminders: one action, nobody signs in, and looking changes nothing."""

import pytest
from django.core.signing import Signer
from django.test import Client
from django.urls import reverse

from clinician.models import OptOut, Reminder, ReminderSetting
from clinician.services.channels.routes import ROUTES
from clinician.services.stop_tokens import stop_token
from homeprogram.calc.base64url import packed
from tests.support.pushes import push_at
from tests.support.reminding import agreed, evening, tick

CLICK = {"List-Unsubscribe": "One-Click"}  # RFC 8058 3.2


@pytest.fixture
def reminded(phone, revision, patient, clinician, now):
    push_at(phone, now, have=[revision.id])
    agreed(patient, clinician, now, ways=["email", "text"], language="es")
    tick(ROUTES, evening(now))
    return Reminder.objects.get()


@pytest.fixture
def address(reminded) -> str:
    return reverse("reminder-stop", kwargs={"token": stop_token(reminded)})


@pytest.fixture
def anybody() -> Client:
    """No cookie, no token against forgery: a mail program has neither."""
    return Client(enforce_csrf_checks=True)


def stopped() -> set[str]:
    return set(OptOut.objects.filter(ended_at=None).values_list("way", flat=True))


def test_looking_changes_nothing_and_shows_one_button(anybody, address):
    page = anybody.get(address).content.decode()

    assert page.count("<button") == 1
    assert "<script" not in page
    assert stopped() == set()


def test_the_click_of_a_mail_program_stops_every_way(anybody, address):
    answer = anybody.post(address, CLICK)

    assert answer.status_code == 200  # RFC 8058 3.2: it follows no redirect
    assert stopped() == {"push", "email", "text"}


def test_the_button_stops_what_was_asked(anybody, address):
    anybody.post(address, {"which": "this"})

    assert stopped() == {"email"}


def test_a_second_click_changes_nothing(anybody, address):
    anybody.post(address, CLICK)
    before = list(OptOut.objects.values())
    anybody.post(address, CLICK)

    assert list(OptOut.objects.values()) == before


def test_it_speaks_the_patients_language(anybody, address):
    assert 'lang="es"' in anybody.get(address).content.decode()


def test_it_tells_nothing_of_the_patient_or_the_clinic(anybody, address, patient):
    page = anybody.get(address).content.decode() + anybody.post(address).content.decode()

    assert not [word for word in ("Wilma", "Tarn", "Larkrise", "Knee", "clinic") if word in page]


@pytest.mark.parametrize(
    "change",
    [
        lambda t: t[:-1],
        lambda t: t[1:] + t[0],
        lambda t: t[:32],
        lambda t: t[:22],
        lambda t: f"{t[:22]}:{t[22:]}",
        lambda t: "é" + t[1:],
    ],
)
def test_a_token_that_was_changed_stops_nothing(anybody, reminded, change):
    token = change(stop_token(reminded))
    answer = anybody.post(reverse("reminder-stop", kwargs={"token": token}), CLICK)

    assert answer.status_code == 404
    assert stopped() == set()


@pytest.mark.parametrize(
    ("language", "words"), [("en", "One that has left already may still come."),
                            ("es", "Uno que ya salió aún puede llegar.")]
)  # fmt: skip
def test_it_does_not_promise_that_nothing_is_on_its_way(anybody, address, language, words):
    ReminderSetting.objects.update(language=language)

    assert words in anybody.post(address, CLICK).content.decode()


def test_the_longer_token_of_an_old_message_stops_too(anybody, reminded):
    token = Signer(salt="reminder-stop").sign(packed(reminded.id.bytes))
    answer = anybody.post(reverse("reminder-stop", kwargs={"token": token}), CLICK)

    assert answer.status_code == 200
    assert stopped() == {"push", "email", "text"}


def test_a_message_sealed_with_an_older_key_stops_too(anybody, address, settings):
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "another"

    assert anybody.post(address, CLICK).status_code == 200
    assert stopped() == {"push", "email", "text"}


def test_nothing_is_sent_after_it(anybody, address, now, mailoutbox):
    anybody.post(address, CLICK)
    for day in range(2, 12):
        tick(ROUTES, evening(now, day))

    assert len(mailoutbox) == 1  # the one it was clicked in


def test_it_is_kept_which_message_it_was_clicked_in(anybody, address, reminded):
    anybody.post(address, CLICK)

    assert set(OptOut.objects.values_list("reminder_id", flat=True)) == {reminded.id}
