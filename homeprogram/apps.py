from django.apps import AppConfig


class HomeProgramConfig(AppConfig):
    name = "homeprogram"
    verbose_name = "Home program"
