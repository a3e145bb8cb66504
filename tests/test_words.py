"""The phone's words and Django's say what the catalogues say."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.utils import translation

from homeprogram.calc.exercises import BY_CODE
from homeprogram.calc.texts import LANGUAGES
from homeprogram.management.commands import words


def test_no_file_of_words_is_stale():
    call_command("words", "--check", stdout=StringIO())


def test_a_changed_catalogue_makes_the_phones_words_stale(monkeypatch, tmp_path):
    monkeypatch.setattr(words, "PHONE", words.ROOT / "var" / "no-such-words")

    with pytest.raises(CommandError, match=r"en\.json.*es\.json"):
        call_command("words", "--check", stdout=StringIO())


@pytest.mark.parametrize("language", words.languages())
def test_nothing_is_left_to_translate(language):
    english = dict(words._words(words.catalogue_of("en")))

    told = dict(words._words(words.catalogue_of(language)))

    assert sorted(set(english) - set(told)) == []


def test_a_clinics_texts_come_in_the_languages_of_the_phone():
    assert sorted(LANGUAGES) == words.languages()


def test_the_exercises_read_as_a_revision_keeps_them():
    english = dict(words._words(words.catalogue_of("en")))

    named = {
        code: (english[f"exercise.{code}"], english[f"exercise_how.{code}"]) for code in BY_CODE
    }

    assert named == {one.code: (one.name, one.how) for one in BY_CODE.values()}


@pytest.mark.parametrize("language", words.languages())
def test_django_reads_the_same_words(language):
    told = {m.id: m.string for m in words.catalogue_of(language) if not m.fuzzy}

    with translation.override(language):
        assert translation.gettext("limb.left") == (told["limb.left"] or "LEFT")


def test_english_that_changes_asks_for_another_look_at_the_translation():
    source = words.catalogue_of("en")
    told = words.Catalog(locale="es", fuzzy=False)
    told.add("form.yes", "Sí", auto_comments=["Yes"])
    told.add("form.no", "No", auto_comments=["Not at all"])

    followed = words._followed(source, told)

    assert not followed.get("form.yes").fuzzy
    assert followed.get("form.no").fuzzy
    assert dict(words._words(followed)) == {"form.yes": "Sí"}
