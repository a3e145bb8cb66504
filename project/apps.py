from django.apps import AppConfig


class ProjectConfig(AppConfig):
    name = "project"
    verbose_name = "Boutwise"
