"""Any number of workers, killed at any moment: nobody is reminded twice, and "stop" is final."""

import os
import random
import signal
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import timedelta
from pathlib import Path
from threading import Event

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse

from clinician.models import Reminder, ReminderOutcome, ReminderSetting
from clinician.services.channels.outcome import Outcome
from clinician.services.opt_outs import EVERY_WAY, reminders_stop
from clinician.services.reminder_claims import contact_claim
from clinician.services.reminders import message_send, reminders_tick
from clinician.services.stop_tokens import stop_token
from tests.conftest import make_clinic, make_clinician
from tests.support.concurrency import at_once, committed
from tests.support.reminding import (
    SITE,
    Remembering,
    agreed,
    due_patient,
    evening,
    routes_of,
    tick,
)

HOUR = timedelta(hours=1)
ROOT = Path(__file__).resolve().parents[2]
postgresql = pytest.mark.skipif(
    connection.vendor != "postgresql", reason="needs connections that see each other's rows"
)


@pytest.fixture
def crowd(django_db_setup, django_db_blocker, now):
    """`crowd(n)`: as many patients to be reminded at six, in rows that others see."""
    with committed(django_db_blocker):

        def make(count: int) -> None:
            by = make_clinician(make_clinic(now), "ro@larkrise.example", now)
            for n in range(count):
                one = due_patient(by, now, f"Una {n}")
                agreed(one, by, now, email=f"una{n}@post.example")

        yield make


@postgresql
def test_four_workers_at_once_remind_each_patient_once(crowd, now):
    crowd(12)
    taken: list = []

    class Shared:
        def send(self, *, to, message_id, until, now):
            taken.append(message_id)
            time.sleep(0.002)
            return Outcome.sent()

        def settle(self, **_) -> None: ...

    at_once(4, lambda n: tick(routes_of(email=Shared()), evening(now)))

    assert len(taken) == len(set(taken)) == 12
    assert set(Reminder.objects.values_list("outcome", flat=True)) == {ReminderOutcome.SENT}


@postgresql
def test_workers_killed_at_random_double_nothing_and_lose_only_what_was_in_flight(
    crowd, now, tmp_path, long_run
):
    """At most once: what a killed worker had in its hand is not known to have gone, and is not
    sent again. Whatever it had not begun another worker sends."""
    patients = 300 if long_run else 40
    crowd(patients)
    log, chance = tmp_path / "log", random.Random(20300304)
    log.touch()
    killed: list[int] = []
    with _workers(log, evening(now)) as start:
        workers = [start() for _ in range(3)]
        until = time.monotonic() + 300
        stroke = chance.randrange(1, 6)  # at which one more that is begun somebody dies
        while Reminder.objects.count() < patients:
            assert time.monotonic() < until, f"{len(killed)} killed: {len(_said(log))} lines"
            at_work = [pid for what, _, pid in _said(log) if what == "begin"]
            if len(at_work) < stroke or at_work[-1] not in workers:
                time.sleep(0.004)
                continue
            victim, stroke = at_work[-1], len(at_work) + chance.randrange(1, 6)
            time.sleep(chance.uniform(0, 0.01))
            os.kill(victim, signal.SIGKILL)
            killed.append(victim)
            workers[workers.index(victim)] = start()
            _leases_end(evening(now))
        _settled_or_killed(workers, chance)
        killed += workers

    said = _said(log)
    begun = [name for what, name, _ in said if what == "begin"]
    sent = {name for what, name, _ in said if what == "sent"}
    doubled = len(begun) - len(set(begun))
    print(f"{len(killed)} killed, {patients - len(sent)} of {patients} lost, {doubled} doubled")

    assert len(killed) > len(workers)  # not only the last ones
    assert len(begun) == len(set(begun))
    assert patients - len(sent) <= len(killed)
    for pid in {pid for *_, pid in said}:
        assert sum(1 if what == "begin" else -1 for what, _, one in said if one == pid) <= 1
    told = Reminder.objects.filter(outcome=ReminderOutcome.SENT).values_list("id", flat=True)
    assert {str(name) for name in told} <= sent
    after = Noting(Event())
    tick(routes_of(email=after), evening(now) + HOUR)
    assert after.count == 0
    left = Counter(Reminder.objects.values_list("outcome", flat=True))
    assert left[ReminderOutcome.SENT] + left[ReminderOutcome.UNKNOWN] == patients


def _settled_or_killed(workers: list[int], chance: random.Random) -> None:
    """The last ones may or may not get to the end of what they hold."""
    time.sleep(chance.uniform(0, 0.03))
    for pid in workers:
        os.kill(pid, signal.SIGKILL)


def _said(log: Path) -> list[tuple[str, str, int]]:
    """What was written to the end: (begin or sent, which reminder, by which process)."""
    whole = (line.split() for line in log.read_text().splitlines())
    return [(what, name, int(pid)) for what, name, pid in whole]


def _leases_end(six) -> None:
    """What a killed worker had only looked at is another's at once, not in five minutes."""
    looked_at = ReminderSetting.objects.filter(next_at__gt=six, next_at__lt=six + HOUR)
    looked_at.update(next_at=six)


@contextmanager
def _workers(log: Path, moment) -> Iterator[Callable[[], int]]:
    """`start()` = one more worker's process id. The caller kills them."""
    given = connection.settings_dict
    url = f"postgresql://{given['USER']}@/{given['NAME']}?host={given['HOST'] or ''}"
    parent = subprocess.Popen(
        [sys.executable, "-m", "tests.support.reminder_worker", str(log), moment.isoformat()],
        cwd=ROOT,
        env=os.environ
        | {
            "DATABASE_URL": url,
            "DJANGO_SETTINGS_MODULE": "project.settings",
            "BOUTWISE_MODE": "test",
        },
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    started: list[int] = []

    def start() -> int:
        print(file=parent.stdin, flush=True)
        started.append(int(parent.stdout.readline()))
        return started[-1]

    try:
        yield start
    finally:
        for pid in started:
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        parent.communicate(timeout=20)


@postgresql
def test_nothing_is_sent_after_the_patient_was_told_that_it_stopped(crowd, now, long_run):
    """The click and the clock at once, again and again; 1,000 times with --long."""
    crowd(1)
    setting = ReminderSetting.objects.get()
    tick(routes_of(email=Noting(Event())), evening(now))
    token = stop_token(Reminder.objects.get())
    sent_after, sent_at_all = 0, 0
    for _ in range(1000 if long_run else 60):
        stopped = Event()
        channel = Noting(stopped)
        _as_before(setting, evening(now))

        def act(n: int, channel=channel, stopped=stopped) -> None:
            if n:
                reminders_tick(
                    routes=routes_of(email=channel), site=SITE, clock=lambda: evening(now, 2)
                )
            else:
                time.sleep(random.uniform(0, 0.06))  # so that either may be first
                Client().post(reverse("reminder-stop", kwargs={"token": token}))
                stopped.set()

        came = at_once(3, act)
        assert came == [None] * 3, came
        tick(routes_of(email=channel), evening(now, 2))
        sent_after += channel.after
        sent_at_all += channel.count

    assert sent_after == 0
    assert sent_at_all > 0  # the clock won now and then, so there was something to win


class Noting:
    """Counts what it is handed, and what of it after "stopped" was said."""

    def __init__(self, stopped: Event) -> None:
        self.stopped, self.after, self.count = stopped, 0, 0

    def send(self, *, to, message_id, until, now):
        self.count += 1
        time.sleep(random.uniform(0, 0.004))
        self.after += self.stopped.is_set()
        return Outcome.sent()

    def settle(self, **_) -> None: ...


def _as_before(setting: ReminderSetting, first) -> None:
    """One reminder went out yesterday; nothing is stopped; today's is due."""
    setting.patient.opt_outs.all().delete()
    Reminder.objects.filter(day__gt=first.date()).delete()
    ReminderSetting.objects.update(next_at=first + timedelta(days=1))


def test_a_stop_while_nothing_is_in_flight_does_not_wait(patient, clinician, now):
    agreed(patient, clinician, now)
    waits: list[float] = []
    reminders_stop(patient=patient, ways=EVERY_WAY, now=now, pause=waits.append)

    assert waits == []


@pytest.fixture
def claimed(patient, clinician, now):
    """A message that a worker has taken and not handed over yet."""
    setting = agreed(patient, clinician, now)
    return contact_claim(setting=setting, now=evening(now), reaches=lambda *_: True, by=clinician)


def test_what_was_taken_before_a_stop_and_not_yet_handed_over_stays_here(claimed, now):
    channel = Remembering()

    def hand_over(_) -> None:
        message_send(
            reminder=claimed, routes=routes_of(email=channel), site=SITE, clock=lambda: now
        )

    reminders_stop(patient=claimed.patient, ways=EVERY_WAY, now=now, pause=hand_over)

    assert channel.taken == []
    claimed.refresh_from_db()
    assert (claimed.outcome, claimed.why) == ("failed", "stopped")


def test_a_worker_that_slept_past_its_claim_sends_nothing(claimed):
    channel = Remembering()
    message_send(
        reminder=claimed,
        routes=routes_of(email=channel),
        site=SITE,
        clock=lambda: claimed.lease_until,
    )

    assert channel.taken == []
