"""Settings of a later release: the same house, with one file of the patient's app changed."""

from pathlib import Path

from project.settings import *  # noqa: F403
from project.settings import ROOT, VAR

NAME = Path("patient/words/en.json")
CHANGED = VAR / "changed"
OLD, NEW = '"App version {build}"', '"Later version {build}"'

_words = (ROOT / "static" / NAME).read_text()
assert OLD in _words, "the words that tell the releases apart"
(CHANGED / NAME).parent.mkdir(parents=True, exist_ok=True)
(CHANGED / NAME).write_text(_words.replace(OLD, NEW))

STATICFILES_DIRS = [CHANGED, ROOT / "static"]  # the first that is found is taken
STATIC_ROOT = VAR / "next-static"
STATIC_ROOT.mkdir(parents=True, exist_ok=True)
