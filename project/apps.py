from django.apps import AppConfig


class ProjectConfig(AppConfig):
    name = "project"
    verbose_name = "Boutwise"

    def ready(self) -> None:
        from project import durability  # noqa: F401, PLC0415  registers its check
