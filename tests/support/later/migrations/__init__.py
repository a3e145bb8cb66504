"""The record's migrations and one of a release to come, for drills that go forward and back."""

from pathlib import Path

from homeprogram import migrations

NEWEST = max(path.stem for path in Path(migrations.__file__).parent.glob("[0-9]*.py"))
__path__ = [*__path__, *migrations.__path__]
