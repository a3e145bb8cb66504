"""What a lock screen or an inbox shows tells nobody what it is about.

Every reminder that is rendered, in every language, is held against a list: health,
parts of the body, treatment, trade and numbers. Names are held against as canaries.
"""

import json
import re

import pytest
from django.test import RequestFactory

from clinician.services.channels.text import words_of
from homeprogram.calc.reminders import LETTER_OF
from homeprogram.calc.texts import LANGUAGES
from homeprogram.management.commands import words
from homeprogram.views.patient import WorkerView
from tests.channels.test_text import WORDINGS, message_of
from tests.conftest import NOW

STOP = "https://app.example/stop/x"
# Beginnings of words, so that every form of them counts.
TOLD = {
    "health": "health|ill|sick|pain|hurt|sore|skin|swell|symptom|salud|enferm|dolor|duele|piel",
    "body": "knee|leg|thigh|limb|muscle|quad|foot|hip|joint|rodilla|pierna|muslo|músculo|pie\\b",
    "treatment": (
        "nmes|stimul|electr|pad\\b|pads|bout|contract|exerci|train|therap|program|treat|surg|operat"
        "|estimul|eléctr|parche|sesi|ejercici|entren|terapia|tratam|cirug|operaci"
    ),
    "trade": "clinic|physio|doctor|patient|hospital|nurse|rehab|ortho|clínic|fisio|paciente|médic",
    "blame": "miss|forg|late|again|not done|olvid|falt|tarde|otra vez",
}
OWN_NAME = "Boutwise"


def told(text: str) -> list[str]:
    plain = text.replace(OWN_NAME, "").replace(STOP, "")
    found = [
        kind for kind, starts in TOLD.items() if re.search(rf"\b(?:{starts})", plain, re.IGNORECASE)
    ]
    return found + ["number"] * bool(re.search(r"\d", plain))


def of_texts(language: str) -> list[str]:
    return [
        words_of(message_of(NOW, language, wording, STOP, closed))
        for wording in WORDINGS
        for closed in (False, True)
    ]


def of_push(language: str) -> list[str]:
    """What the worker shows, read from the worker as it is served."""
    script = WorkerView.as_view()(RequestFactory().get("/p/sw.js")).content.decode()
    said = json.loads(re.search(r"^const SAID = (.+);$", script, re.MULTILINE)[1])
    assert sorted(said) == sorted(LANGUAGES)
    assert set(said[language]) == {"title", "stop", *LETTER_OF.values()}
    return list(said[language].values())


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("rendered", [of_texts, of_push])
def test_no_reminder_tells_what_it_is_about(language, rendered):
    messages = rendered(language)

    assert all(len(message) >= 5 for message in messages)
    assert {message: told(message) for message in messages if told(message)} == {}


@pytest.mark.parametrize(
    ("message", "kinds"),
    [
        ("Your knee bout is due", ["body", "treatment"]),
        ("You missed 2 sessions", ["blame", "number"]),
        ("Larkrise Physiotherapy: call us", ["trade"]),
        ("Su piel: abra hoy su app", ["health"]),
        ("Haga sus ejercicios", ["treatment"]),
    ],
)
def test_the_list_finds_what_tells(message, kinds):
    assert told(message) == kinds


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_reminder_has_room_for_a_name(language):
    """Its words are fixed: the only value in them is the link that ends it."""
    catalogue = dict(words._words(words.catalogue_of(language)))

    values = {
        value
        for key, text in catalogue.items()
        if key.startswith(("push.", "reminder.", "text."))
        for value in re.findall(r"\{(\w+)\}", text)
    }

    assert values == {"url"}
