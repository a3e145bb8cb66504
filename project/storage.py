"""Static files under hashed names; those of the phone joined and shortened besides."""

import re
from collections.abc import Iterator

from django.core.files.base import ContentFile, File
from django.core.files.storage import Storage
from whitenoise.storage import CompressedManifestStaticFilesStorage

from project.joining import joined, joined_sheet

try:
    import minify  # tdewolff-minify: not for every machine there is one
except ImportError:
    minify = None

Paths = dict[str, tuple[Storage, str]]

APP, RESCUE, SHEET = "patient/app.js", "patient/rescue.js", "css/patient.css"
# What the tests in a browser ask of the shipped file; a phone asks for nothing.
INSIDE = ("model/uuid.js", "net/engine.js", "store/open.js", "ui/frame.js", "ui/saving.js")
JOINED_IN = re.compile(r"patient/.+\.js|css/patient-.+\.css")
COMMENT_OR_INDENT = re.compile(r"^[ \t]+(//.*)?|^//.*", re.MULTILINE)


class Made:
    """In the place of a folder: gives one text whatever it is asked for."""

    def __init__(self, text: str) -> None:
        self.text = text

    def open(self, name: str) -> File:
        return ContentFile(self.text.encode(), name)


def for_phones(paths: Paths) -> Paths:
    """The app's modules as one file and its sheets as another, the rescue page's script shortened.

    The single ones lie beside them as they were written, but no page names them.
    """

    def read(name: str) -> str:
        source, path = paths[name]
        with source.open(path) as file:
            return file.read().decode()

    made = {
        APP: shortened(joined("app.js", lambda name: read(f"patient/{name}"), given=INSIDE)),
        RESCUE: shortened(read(RESCUE)),
        SHEET: joined_sheet(SHEET, read),
    }
    rest = {name: found for name, found in paths.items() if not JOINED_IN.fullmatch(name)}
    return rest | {name: (Made(text), name) for name, text in made.items()}


def shortened(script: str) -> str:
    """The same program with short names of its own, or at least without its comments."""
    if minify:
        return minify.string("text/javascript", script)
    return without_comments(script)


def without_comments(script: str) -> str:
    """Every line in its place, no indent, no line that is for people only."""
    return COMMENT_OR_INDENT.sub("", script)


class HashedStaticStorage(CompressedManifestStaticFilesStorage):
    """Rewrites `import ... from "./x.js";` so that modules may be cached for ever."""

    support_js_module_import_aggregation = True

    def post_process(self, paths: Paths, *given: object, **options: object) -> Iterator[tuple]:
        yield from super().post_process(for_phones(paths), *given, **options)
