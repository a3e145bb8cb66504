"""Static files under hashed names, module imports included."""

import re
from collections.abc import Iterator

from django.core.files.base import ContentFile, File
from django.core.files.storage import Storage
from whitenoise.storage import CompressedManifestStaticFilesStorage

PHONES_OWN = re.compile(r"patient/.+\.js")
COMMENT_OR_INDENT = re.compile(rb"^[ \t]+(//.*)?|^//.*", re.MULTILINE)


class WithoutComments:
    """The patient's modules as a phone gets them: every line in its place, no comments."""

    def __init__(self, source: Storage) -> None:
        self.source = source

    def open(self, name: str) -> File:
        with self.source.open(name) as file:
            return ContentFile(COMMENT_OR_INDENT.sub(b"", file.read()), name)


class HashedStaticStorage(CompressedManifestStaticFilesStorage):
    """Rewrites `import ... from "./x.js";` so that modules may be cached for ever."""

    support_js_module_import_aggregation = True
    max_post_process_passes = 12  # one for each step of the longest chain of imports, and more

    def post_process(
        self, paths: dict[str, tuple[Storage, str]], *given: object, **options: object
    ) -> Iterator[tuple]:
        """A quarter of what a phone would load is written for people who read the code."""
        lighter = {
            name: (WithoutComments(source) if PHONES_OWN.fullmatch(name) else source, path)
            for name, (source, path) in paths.items()
        }
        yield from super().post_process(lighter, *given, **options)
