"""What phones call of the desk's side."""

from django.urls import path

from clinician.api.reminder_stop import ReminderStopApi

urlpatterns = [
    path("reminders/stop/", ReminderStopApi.as_view(), name="phone-reminder-stop"),
]
