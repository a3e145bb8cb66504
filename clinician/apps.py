from django.apps import AppConfig


class ClinicianConfig(AppConfig):
    name = "clinician"
    verbose_name = "Clinician's desk"
