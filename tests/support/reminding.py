"""A patient with reminders agreed, a channel that only remembers, and words no message may hold."""

from dataclasses import dataclass, field
from datetime import datetime, time, timedelta

from clinician.models import ReminderSetting, Way
from clinician.services.channels.outcome import Outcome
from clinician.services.channels.route import Route, Routes
from clinician.services.reminder_settings import reminder_settings_set
from clinician.services.reminders import Round, reminders_tick

SITE = "https://app.example"
ADDRESS = "wilma.tarn@post.example"
MOBILE = "+441632960123"


@dataclass
class Remembering:
    """A channel that takes everything, or answers as told, and keeps what it was given."""

    answers: list[Outcome] = field(default_factory=list)
    taken: list = field(default_factory=list)
    settled: list = field(default_factory=list)

    def send(self, *, to, message_id, until, now) -> Outcome:
        self.taken.append((to, message_id, until, now))
        return self.answers.pop(0) if self.answers else Outcome.sent()

    def settle(self, *, to, outcome, now) -> None:
        self.settled.append((to, outcome))


def routes_of(**channels) -> Routes:
    """`email=channel` and so on; each reaches everybody."""
    return {
        Way(way): Route(channel, lambda setting: True, lambda setting, message: [message])
        for way, channel in channels.items()
    }


def agreed(patient, by, now: datetime, **changes) -> ReminderSetting:
    """Reminders by e-mail at six in the evening, unless said otherwise."""
    told = {"on": True, "times": [time(18)], "ways": ["email"], "email": ADDRESS}
    return reminder_settings_set(patient=patient, by=by, now=now, **(told | changes))


def due_patient(by, now: datetime, name: str = "Una Brill", zone: str = "UTC"):
    """Somebody with a bout due every day from tomorrow on, whose phone knows it."""
    from homeprogram.services.patients import patient_add
    from tests.conftest import PairedPhone, make_program
    from tests.support.pushes import push_at

    patient = patient_add(by=by, name=name, now=now, zone=zone)
    revision = make_program(patient, by, now)
    push_at(PairedPhone(patient, by, now, standing=True), now, have=[revision.id])
    return patient


def tick(routes: Routes, now: datetime, **told) -> Round:
    return reminders_tick(routes=routes, site=SITE, clock=lambda: now, **told)


def evening(now: datetime, days: int = 1) -> datetime:
    """Six o'clock so many days after the first visit; the program is due from the first on."""
    return (now + timedelta(days=days)).replace(hour=18, minute=0)
