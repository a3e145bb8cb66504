"""Signed-in browsers for the pages, and the address of each page."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from homeprogram.selectors.record import stimulators_of_clinic
from tests.conftest import PairedPhone, make_clinician
from tests.entries import BOUT
from tests.support.pushes import push_at


@pytest.fixture
def lead_desk(lead) -> Client:
    browser = Client()
    browser.force_login(lead.user)
    return browser


@pytest.fixture
def outside_desk(outsider) -> Client:
    """Signed in, but at another clinic."""
    browser = Client()
    browser.force_login(outsider.user)
    return browser


@pytest.fixture
def outside_lead_desk(outsider, now) -> Client:
    lead = make_clinician(outsider.clinic, "head@saltmarsh.example", now, role="lead")
    browser = Client()
    browser.force_login(lead.user)
    return browser


@pytest.fixture
def stranger(db) -> Client:
    """Nobody in particular."""
    return Client()


@pytest.fixture
def patient_url(patient) -> str:
    return reverse("patient-detail", kwargs={"patient_id": patient.id})


@pytest.fixture(autouse=True)
def clock(monkeypatch, settings, now):
    """The wall clock of the pages; `clock(later)` moves it, and nobody is signed out by it."""
    settings.SESSION_COOKIE_AGE = 400 * 24 * 3600

    def move(moment) -> None:
        monkeypatch.setattr(timezone, "now", lambda: moment)

    move(now)
    return move


@pytest.fixture
def program_post(clinic) -> dict:
    """What the program form sends for a full dose."""
    return {
        "first_day": "2030-03-06",
        "reason": "first dose",
        "weekdays": ["0", "2", "4"],
        "bouts_per_day": "2",
        "minimum_gap_h": "3",
        "contractions_per_bout": "15",
        "bout_min": "",
        "stimulator": str(stimulators_of_clinic(clinic=clinic)[0].id),
        "waveform": "symmetric_biphasic",
        "frequency_hz": "50",
        "phase_duration_us": "300",
        "on_s": "10",
        "off_s": "50",
        "ramp_up_s": "2",
        "ramp_down_s": "1",
        "ramps_inside_on": "yes",
        "electrode_cm2": "60",
        "pads": ["upper_outer", "lower_inner"],
        "knee_angle_deg": "65",
        "position": "sitting, shin strapped",
        "start_1": "20",
        "floor_1": "30",
        "ceiling_1": "60",
        "exercise_1": "quad_set",
        "how_1": "",
    }


@dataclass
class Story:
    """One patient's phone and the wall clock, moved together."""

    phone: PairedPhone
    revision: object
    now: datetime
    clock: Callable[[datetime], None]

    def entry(self, kind: str, payload: dict, **body) -> dict:
        """An entry about the patient's limb."""
        episode = str(self.revision.program.episode_id)
        return self.phone.entry(kind, payload, episode_id=episode, **body)

    def bout(self, for_date: str, **said) -> dict:
        return self.entry(
            "bout",
            BOUT | said,
            for_date=for_date,
            local_time=f"{for_date}T08:20:00",
            revision_id=str(self.revision.id),
        )

    def push(self, *entries: dict, after: timedelta = timedelta(), **more) -> None:
        """Some time after the first visit; the pages then show that moment."""
        push_at(self.phone, self.now + after, *entries, **more)
        self.wait(after)

    def wait(self, after: timedelta) -> None:
        self.clock(self.now + after)


@pytest.fixture
def story(phone, revision, now, clock) -> Story:
    """The phone has named the revision: it is in effect from 5 March."""
    told = Story(phone, revision, now, clock)
    told.push(have=[revision.id], claim=True)
    return told
