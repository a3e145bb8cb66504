"""What the patient's worker holds: our static files and the hash of each."""

import hashlib
import re
from functools import lru_cache
from pathlib import Path

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage

APP = "patient/app.js"
SHEET = "css/patient.css"
WORDS = "patient/words/"
# The rescue page must work without the worker, so its script is not held by it;
# the large icons are for installing and nothing else.
OURS = re.compile(
    r"patient/(?!rescue\.js).+\.js|patient/words/\w+\.json|css/patient.*\.css|icons/.+\.svg"
)
# Parts of the sheet that the desk has too: a phone asks for them only where nothing is joined.
SHARED = {"css/tokens.css", "css/base.css"}


def patient_files() -> list[str]:
    """Names of our files, scripts and styles and icons, in a fixed order."""
    names = _all_names()
    parts = set() if _hashed() else SHARED
    return sorted({*filter(OURS.fullmatch, names), *parts})


def module_urls() -> list[str]:
    """What the app imports, where it is not joined with it."""
    names = [name for name in patient_files() if name.endswith(".js")]
    return [url_of(name) for name in names if name != APP]


def word_urls() -> dict[str, str]:
    """The file of each language; a phone loads the one it speaks."""
    names = [name for name in patient_files() if name.startswith(WORDS)]
    return {name.removeprefix(WORDS).removesuffix(".json"): url_of(name) for name in names}


def url_of(name: str) -> str:
    return staticfiles_storage.url(name)


def precache_list() -> list[list[str]]:
    """[address, SHA-256 in hex] of every file the worker must hold."""
    return [[url_of(name), _sha256_of(name)] for name in patient_files()]


def build_of(files: list[list[str]]) -> str:
    """A short name for exactly these files."""
    text = "\n".join(f"{address} {sha256}" for address, sha256 in files)
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def _all_names() -> set[str]:
    """From the manifest where files are hashed, else from the folders."""
    if _hashed():
        return {name.replace("\\", "/") for name in _hashed()}
    return {
        path.replace("\\", "/")
        for finder in finders.get_finders()
        for path, _storage in finder.list(["*.map"])
    }


def _hashed() -> dict[str, str]:
    return getattr(staticfiles_storage, "hashed_files", {})


def _sha256_of(name: str) -> str:
    hashed = getattr(staticfiles_storage, "stored_name", None)
    path = staticfiles_storage.path(hashed(name)) if hashed else finders.find(name)
    return _file_sha256(str(path), Path(path).stat().st_mtime_ns)


@lru_cache(maxsize=512)
def _file_sha256(path: str, _changed_ns: int) -> str:
    """Of the file as it is served; read again only when it changed."""
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()
