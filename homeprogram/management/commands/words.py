"""`manage.py words`: from the catalogues to what the phone and Django read.

Every patient's word stands once in `homeprogram/locale`, by key. The phone gets one
JSON file for each language; Django gets the keys of the pages it renders itself.
"""

import gettext
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

from babel import Locale
from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from django.core.management.base import BaseCommand, CommandError

ROOT = Path(__file__).resolve().parents[3]
LOCALE = ROOT / "homeprogram" / "locale"
PHONE = ROOT / "static" / "patient" / "words"
SOURCE = "en"
# Areas (what a key begins with) of the pages and messages that Django renders for a patient.
RENDERED = ("shell", "rescue", "sheet", "message", "text", "push")
# What those pages share with the phone.
SHARED = ("limb", "pad", "pads", "kind", "exercise", "exercise_how", "reminder")


class Command(BaseCommand):
    help = "Writes the phone's words and Django's from homeprogram/locale. Needs the dev extra."

    def add_arguments(self, parser) -> None:
        parser.add_argument("--check", action="store_true", help="change nothing, exit 1 if stale")

    def handle(self, *args: object, check: bool, **options: object) -> None:
        stale = list(stale_files())
        if check and stale:
            names = ", ".join(str(path.relative_to(ROOT)) for path, _ in stale)
            raise CommandError(f"Stale: {names}. Run manage.py words.")
        for path, content in stale:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
            self.stdout.write(f"wrote {path.relative_to(ROOT)}")


def languages() -> list[str]:
    return sorted(path.name for path in LOCALE.iterdir() if path.is_dir())


def catalogue_of(language: str) -> Catalog:
    with _po(language).open("rb") as file:
        return read_po(file, locale=language)


def stale_files() -> Iterator[tuple[Path, bytes]]:
    """Whatever does not say what the catalogues say, with what it ought to."""
    source = catalogue_of(SOURCE)
    english = dict(_words(source))
    for language in languages():
        told = catalogue_of(language)
        if language != SOURCE:
            told = _followed(source, told)
            yield from _unless_same(_po(language), _po_bytes(told))
        words = english | dict(_words(told))  # nobody is left without words
        phone = json.dumps(_phone_words(told.locale, words), ensure_ascii=False, indent=0) + "\n"
        yield from _unless_same(PHONE / f"{language}.json", phone.encode())
        compiled = _po(language).with_suffix(".mo")
        rendered = {key: said for key, said in words.items() if _area(key) in RENDERED + SHARED}
        # By what it says and how it counts: the compiler's version may stand in the headers.
        if _compiled(compiled) != (told.plural_forms, rendered):
            yield compiled, _mo_bytes(told, rendered)


def _followed(source: Catalog, told: Catalog) -> Catalog:
    """The source's keys in its order; the English stands beside each as a comment.

    A translation whose English has changed since is marked fuzzy: look again.
    """
    followed = Catalog(locale=told.locale, header_comment=told.header_comment, fuzzy=False)
    followed.mime_headers = told.mime_headers
    for message in source:
        if not message.id:
            continue
        english = _one_line(message)
        known = told.get(message.id)
        words = known.string if known else ("",) * told.num_plurals if message.pluralizable else ""
        flags = set(known.flags) & {"fuzzy"} if known else set()
        if known and any(words) and " ".join(known.auto_comments) != english:
            flags.add("fuzzy")
        followed.add(
            message.id,
            words,
            auto_comments=[english],
            user_comments=known.user_comments if known else (),
            flags=flags,
        )
    return followed


def _words(catalogue: Catalog) -> Iterator[tuple[str, str | list[str]]]:
    """Key and words, a list where there are plural forms; what is not yet told is left out."""
    for message in catalogue:
        if not message.id or message.fuzzy:
            continue
        if message.pluralizable:
            if all(message.string):
                yield message.id[0], list(message.string)
        elif message.string:
            yield message.id, message.string


def _phone_words(locale: Locale, words: dict) -> dict:
    said = {key: one for key, one in words.items() if _area(key) not in RENDERED}
    return {"language": locale.language, "dir": locale.text_direction, "words": said}


def _mo_bytes(told: Catalog, rendered: dict[str, str | list[str]]) -> bytes:
    catalogue = Catalog(locale=told.locale, fuzzy=False)
    catalogue.mime_headers = told.mime_headers  # its plural forms, not this library's of today
    for key, words in rendered.items():
        if isinstance(words, list):
            catalogue.add((key, key), tuple(words))
        else:
            catalogue.add(key, words)
    file = io.BytesIO()
    write_mo(file, catalogue)
    return file.getvalue()


def _compiled(path: Path) -> tuple[str, dict[str, str | list[str]]] | None:
    """Its plural forms, and what it says."""
    if not path.exists():
        return None
    with path.open("rb") as file:
        read = gettext.GNUTranslations(file)
    kept = read._catalog  # noqa: SLF001 (it has no other reader)
    found: dict[str, str | list[str]] = {}
    for key, words in kept.items():
        if isinstance(key, tuple):
            found.setdefault(key[0], []).append(words)
        elif key:
            found[key] = words
    return read.info().get("plural-forms", ""), found


def _po_bytes(catalogue: Catalog) -> bytes:
    file = io.BytesIO()
    write_po(file, catalogue, width=0)
    # The library's version, which is no word: a newer one would make every file stale.
    return re.sub(rb'(?m)^"Generated-By: .*\n', b"", file.getvalue())


def _unless_same(path: Path, content: bytes) -> Iterator[tuple[Path, bytes]]:
    if not path.exists() or path.read_bytes() != content:
        yield path, content


def _one_line(message: Message) -> str:
    return " | ".join(message.string) if message.pluralizable else message.string


def _po(language: str) -> Path:
    return LOCALE / language / "LC_MESSAGES" / "django.po"


def _area(key: str) -> str:
    return key.split(".", maxsplit=1)[0]
