from django.apps import AppConfig
from django.contrib.staticfiles.apps import StaticFilesConfig


class ProjectConfig(AppConfig):
    name = "project"
    verbose_name = "Boutwise"

    def ready(self) -> None:
        from project import durability  # noqa: F401, PLC0415  registers its check


class PublishedFilesConfig(StaticFilesConfig):
    # Of a browsable API, which is not ours: half of the time that `collectstatic` would take.
    ignore_patterns = [*StaticFilesConfig.ignore_patterns, "rest_framework"]
