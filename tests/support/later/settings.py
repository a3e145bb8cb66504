"""The project's settings a release later: with one migration more."""

from project.settings import *  # noqa: F403

MIGRATION_MODULES = {"homeprogram": "tests.support.later.migrations"}
