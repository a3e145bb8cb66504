"""Two things at once on real connections; prints as JSON what came of them.

On PostgreSQL a race runs in the test's own process, on SQLite in one of its own with a
record in a file: what lies in memory alone knows no second writer.
"""

import json
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from threading import Thread

ROUNDS = 12
WAIT_S = 1  # on SQLite a writer waits for the reader to end


def came_of(race: Callable[[], dict], folder: Path, blocker) -> dict:
    """What the race says on the database of this run."""
    from django.db import connection

    from tests.support.concurrency import committed
    from tests.support.live import LiveServer

    if connection.vendor == "postgresql":
        with committed(blocker):
            return race()
    return LiveServer(folder / "clinic").seed(race.__name__, stories=__name__)


def entry_during_a_page() -> dict:
    """A bout arrives after the days were read and before the entries are."""
    from django.db import connection

    from clinician.selectors.patient_page import patient_page
    from tests.entries import BOUT
    from tests.support.pushes import push_at

    patient, _, revision, phone, now = _cast()

    def bout() -> dict:
        ids = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
        return phone.entry("bout", BOUT, for_date=now.date().isoformat(), **ids)

    push_at(phone, now, bout())
    meanwhile = Meanwhile('FROM "homeprogram_entry"', lambda: push_at(phone, now, bout()))
    with connection.execute_wrapper(meanwhile):
        during = patient_page(patient=patient, now=now)
    meanwhile.thread.join()
    return {"during": _bouts(during), "after": _bouts(patient_page(patient=patient, now=now))}


def _bouts(page) -> dict[str, int]:
    """How many bouts today has, by each part of the page."""
    [limb] = page.charts["limbs"]
    [box] = [box for week in page.episodes[0][0].weeks for box in week.boxes if box and box.today]
    return {
        "chart": limb["charts"][0]["lines"][0]["values"][-1],
        "calendar": int(box.detail.split()[0]),
        "entries": sum(line.kind == "bout" for line in page.newest_entries[0].lines),
    }


class Meanwhile:
    """Lets another connection act once, just before the first question with these words."""

    def __init__(self, words: str, act: Callable[[], object]) -> None:
        self.words, self.act, self.thread = words, act, None

    def __call__(self, execute, sql, *rest):
        if self.thread is None and self.words in sql and "UNION" not in sql:
            self.thread = Thread(target=self._act)
            self.thread.start()
            self.thread.join(WAIT_S)
        return execute(sql, *rest)

    def _act(self) -> None:
        from django.db import connection

        with closing(connection):
            self.act()


def revisions_during_pushes() -> dict:
    """A clinician saves revisions while the phone sends bouts of the first one."""
    from homeprogram.models import Bout, Change, PatientDay, Revision, RevisionOnPhone
    from homeprogram.services.programs import revision_add
    from tests.conftest import make_dose
    from tests.entries import BOUT
    from tests.support.concurrency import at_once
    from tests.support.pushes import push_at

    patient, clinician, revision, phone, now = _cast()
    today = now.date().isoformat()
    ids = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}

    def act(n: int) -> str:
        if n:
            revision_add(
                program=revision.program,
                by=clinician,
                dose=make_dose(),
                stimulator=revision.stimulator,
                first_day=now.date() + timedelta(days=1),
                reason="race",
                now=now,
            )
            return "added"
        bout = phone.entry("bout", BOUT, for_date=today, **ids)
        [outcome] = push_at(phone, now, bout, have=[revision.id]).outcomes
        return outcome.word

    said = [at_once(2, act) for _ in range(ROUNDS)]
    patient.refresh_from_db()
    versions = Change.objects.filter(patient=patient).order_by("version")
    return {
        "said": sorted({str(one) for both in said for one in both}),
        "numbers": list(Revision.objects.order_by("number").values_list("number", flat=True)),
        "on_phone": list(RevisionOnPhone.objects.values_list("revision__number", flat=True)),
        "bouts_of": list(Bout.objects.values_list("revision__number", flat=True)),
        "counted": PatientDay.objects.get(day=today).bouts_done,
        "versions": list(versions.values_list("version", flat=True)),
        "newest": patient.log_version,
    }


def _cast() -> tuple:
    """A program that runs since two days, on a phone that named it."""
    from django.utils import timezone

    from homeprogram.services.patients import patient_add
    from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program
    from tests.support.pushes import push_at

    now = timezone.now()
    then = now - timedelta(days=3)
    clinician = make_clinician(make_clinic(then), "ro@larkrise.example", then)
    patient = patient_add(by=clinician, name="Wilma Tarn", now=then, zone="UTC")
    revision = make_program(patient, clinician, then)
    phone = PairedPhone(patient, clinician, then, standing=True)
    push_at(phone, then, have=[revision.id])
    return patient, clinician, revision, phone, now


if __name__ == "__main__":
    import django

    django.setup()
    print(json.dumps(globals()[sys.argv[1]]()))
