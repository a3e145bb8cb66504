"""The versioned API: what phones and the desk's own scripts call."""

from django.urls import path

from homeprogram.api.calendar_file import CalendarFileApi
from homeprogram.api.dose_check import DoseCheckApi
from homeprogram.api.pairing import PairingApi
from homeprogram.api.photo import PhotoApi
from homeprogram.api.strength_check import StrengthCheckApi
from homeprogram.api.subscription import SubscriptionApi
from homeprogram.api.sync import PullApi, PushApi

urlpatterns = [
    path("pairing/", PairingApi.as_view(), name="pairing"),
    path("sync/push/", PushApi.as_view(), name="sync-push"),
    path("sync/pull/", PullApi.as_view(), name="sync-pull"),
    path("subscription/", SubscriptionApi.as_view(), name="subscription"),
    path("calendar/", CalendarFileApi.as_view(), name="phone-calendar"),
    path("photos/<uuid:photo_id>/", PhotoApi.as_view(), name="skin-photo"),
    path("dose-check/", DoseCheckApi.as_view(), name="dose-check"),
    path("strength-check/", StrengthCheckApi.as_view(), name="strength-check"),
]
