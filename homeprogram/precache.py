"""The static files the phone must hold to work without a network."""

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage

FOLDERS = ("patient/", "icons/")
STYLES = ("css/tokens.css", "css/base.css", "css/patient")


def precache_list() -> list[str]:
    """URLs, hashed where the storage hashes, in a stable order."""
    return sorted(staticfiles_storage.url(path) for path in _paths())


def _paths() -> list[str]:
    return [
        path
        for finder in finders.get_finders()
        for path, _ in finder.list([])
        if path.startswith(FOLDERS + STYLES) and not path.endswith(".md")
    ]
