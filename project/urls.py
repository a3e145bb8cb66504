"""The whole map in one screen."""

from django.urls import include, path
from django.views.generic import RedirectView
from drf_spectacular.views import SpectacularAPIView

from clinician.views.stop import StopView
from project.health import HealthView, ReadyView

handler404 = "project.errors.not_found"
handler500 = "project.errors.server_error"

urlpatterns = [
    path("", RedirectView.as_view(url="/desk/"), name="home"),
    path("", include("homeprogram.urls")),
    path("", include("pwa.urls")),
    path("desk/", include("clinician.urls")),
    path("stop/<str:token>/", StopView.as_view(), name="reminder-stop"),
    path("account/", include("project.urls_account")),
    path("api/v1/", include("homeprogram.urls_api")),
    path("api/v1/", include("clinician.urls_api")),
    path("api/v1/schema/", SpectacularAPIView.as_view(), name="schema"),
    path("healthz", HealthView.as_view(), name="healthz"),
    path("readyz", ReadyView.as_view(), name="readyz"),
]
