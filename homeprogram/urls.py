"""The patient's side: shell, worker and rescue page."""

from django.urls import path

from homeprogram.views.patient import ManifestView, RescueView, ShellView, WorkerView

urlpatterns = [
    path("p/", ShellView.as_view(), name="patient-shell"),
    path("p/sw.js", WorkerView.as_view(), name="patient-worker"),
    path("manifest.json", ManifestView.as_view(), name="manifest"),
    path("rescue/", RescueView.as_view(), name="rescue"),
]
