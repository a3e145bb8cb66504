"""How hard the patient's screens read, by machine, in every language we speak.

An area is what a key begins with: the words of one screen, or of one part of it.
English: Flesch-Kincaid grade 5 or lower and Flesch's reading ease 80 or more. Spanish:
Fernández-Huerta's reading ease, its own form of Flesch's, 80 or more ("easy").
A label of up to three words has no grade.
"""

import re
import warnings
from collections import defaultdict
from collections.abc import Iterator

import pytest

from homeprogram.calc.texts import KINDS, default_texts
from homeprogram.management.commands import words

with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it looks for its files by a deprecated way
    import textstat

WORDS_MOST = 15
GRADE_MOST = 5
EASE_LEAST = 80
LABEL = 3

# Long words that are kept: an everyday word, or one of the trade, with the key of the
# words that say what it is. A new one belongs here, or had better be a shorter one.
VOWELS = {"en": r"[aeiouy]+", "es": r"[aeiouáéíóúü]+"}
SILENT = re.compile(r"(?:[^laeiouy]es|[^laeiouy]e|[^aeioutd]ed)$")
LONG = {"en": 3, "es": 5}  # syllables
EVERYDAY = {
    "en": {
        "already", "another", "calendar", "camera", "different", "emergency", "every", "exercise",
        "medicine", "nobody", "notifications", "operation", "pacemaker", "position", "reminder",
        "reminders", "revision", "safari", "something", "telephone", "yesterday",
    },
    "es": {"embarazada", "equivocado", "notificaciones"},
}  # fmt: skip
EXPLAINED = {
    "en": {
        "contraction": "dose.contraction_is",
        "contractions": "dose.contraction_is",
        "discomfort": "log.discomfort",
        "stimulator": "lesson.bout_2",
    },
    "es": {"estimulador": "lesson.bout_2"},
}


def forms(language: str) -> Iterator[tuple[str, str]]:
    """Every form of every key, a number in the place of each value."""
    for key, told in words._words(words.catalogue_of(language)):
        for one in [told] if isinstance(told, str) else told:
            yield key, re.sub(r"\{\w+\}", "4", one)


def fixed(language: str) -> Iterator[tuple[str, str]]:
    texts = default_texts(language)
    for kind in KINDS:
        yield from ((f"fixed_{kind}.{key}", one) for key, one in texts[kind].items())
    yield from (("fixed_cautions.", one) for one in texts["cautions"])


def everything(language: str) -> list[tuple[str, str]]:
    return [*forms(language), *fixed(language)]


def words_of(text: str) -> list[str]:
    return re.findall(r"[^\W\d_]+(?:'[^\W\d_]+)*", text)


def areas(language: str) -> dict[str, str]:
    """What each screen says in sentences, one after the other."""
    spoken = defaultdict(list)
    for key, text in everything(language):
        if len(words_of(text)) > LABEL:
            spoken[key.partition(".")[0]].append(
                text.rstrip(" .:…") + ("" if text[-1] in "?!" else ".")
            )
    return {area: " ".join(texts) for area, texts in spoken.items()}


def ease(language: str, text: str) -> float:
    textstat.set_lang(language)
    return (
        textstat.flesch_reading_ease(text) if language == "en" else textstat.fernandez_huerta(text)
    )


def test_the_measures_tell_plain_from_hard():
    plain = "Take the pads off. Call your clinic today."
    hard = "Discontinue neuromuscular stimulation upon observing dermatological irritation."
    llano = "Quítese los parches. Llame hoy a su clínica."
    duro = "Interrumpa la estimulación neuromuscular al observar irritaciones dermatológicas."

    assert ease("en", plain) > EASE_LEAST > ease("en", hard)
    assert textstat.flesch_kincaid_grade(plain) < GRADE_MOST < textstat.flesch_kincaid_grade(hard)
    assert ease("es", llano) > EASE_LEAST > ease("es", duro)


@pytest.mark.parametrize("language", words.languages())
def test_every_screen_reads_easily(language):
    told = areas(language)

    hard = {area: round(ease(language, text)) for area, text in told.items()}

    assert len(told) > 30
    assert {area: value for area, value in hard.items() if value < EASE_LEAST} == {}


def test_every_screen_is_for_grade_five():
    told = areas("en")
    textstat.set_lang("en")

    grades = {area: textstat.flesch_kincaid_grade(text) for area, text in told.items()}

    assert {area: grade for area, grade in grades.items() if grade > GRADE_MOST} == {}


@pytest.mark.parametrize("language", words.languages())
def test_no_sentence_is_long(language):
    sentences = [
        one for _, text in everything(language) for one in re.split(r"(?<=[.?!:])\s+", text)
    ]

    assert [one for one in sentences if len(words_of(one)) > WORDS_MOST] == []


def syllables(language: str, word: str) -> int:
    spoken = SILENT.sub("", word) if language == "en" else word
    return len(re.findall(VOWELS[language], spoken))


@pytest.mark.parametrize("language", words.languages())
def test_a_long_word_is_an_everyday_one_or_explained(language):
    used = {word.lower() for _, text in everything(language) for word in words_of(text)}

    long = {word for word in used if syllables(language, word) >= LONG[language]}

    assert long == EVERYDAY[language] | set(EXPLAINED[language])


@pytest.mark.parametrize("language", words.languages())
def test_what_explains_a_word_is_there(language):
    told = dict(words._words(words.catalogue_of(language)))

    assert [key for key in EXPLAINED[language].values() if key not in told] == []
