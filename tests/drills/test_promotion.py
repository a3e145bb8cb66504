"""The primary dies with commits its standby never got; the phones bring them back."""

import json
from contextlib import ExitStack
from datetime import UTC, datetime, timedelta

import pytest

from tests.support.audit import audit, stored
from tests.support.drilled import drilled, phones_of, settle
from tests.support.relay import Relay

PHONES = 4
REVISE_ALL = """
import django; django.setup()
import json
from datetime import timedelta
from django.utils import timezone
from homeprogram.models import Clinician, HomeProgram, Phone
from homeprogram.selectors.record import stimulators_of_clinic
from homeprogram.services.programs import revision_add
from tests.conftest import make_dose
now, programs = timezone.now(), {}
for program in HomeProgram.objects.all():
    revision = revision_add(
        program=program, by=Clinician.objects.get(), dose=make_dose(contractions_per_bout=20),
        stimulator=stimulators_of_clinic(clinic=program.clinic)[0],
        first_day=now.date() + timedelta(days=1), reason="more", now=now,
    )
    phone = Phone.objects.get(patient_id=program.patient_id)
    programs[str(phone.id)] = str(revision.id)
print(json.dumps(programs))
"""


class Clinic:
    """One server over a primary with a standby behind it; the standby may take over."""

    def __init__(self, keep: ExitStack, folder) -> None:
        self.keep = keep
        self.server = drilled(keep, "postgresql", folder)
        self.phones = phones_of(self.server, PHONES)
        self.server.start()

    def write(self, each: int) -> None:
        for phone in self.phones:
            for _ in range(each):
                phone.save()
        assert settle(self.phones) == ["settled"] * PHONES

    def fail_over(self, *, redraw: bool, each: int = 5) -> int:
        """Promote a standby that lags; how many acknowledged entries it did not have."""
        primary = self.server.cluster
        relay = Relay(primary.port)
        standby = primary.standby(through=relay.port)
        self.keep.callback(standby.remove)
        self.write(each)
        self._until_the_same(standby)
        relay.hold()
        self.write(each)
        self.server.stop(kill=True)
        primary.kill()
        relay.cut()
        standby.promote()
        self.server.lie_on(standby)
        acknowledged = {name for phone in self.phones for name in phone.acknowledged}
        behind = len(acknowledged - stored(self.server))
        if redraw:
            self.server.manage("log_identity", "--new")
        self.server.start()
        return behind

    def _until_the_same(self, standby) -> None:
        """The last commit of before the lag has arrived."""
        (written,) = self.server.cluster.ask("SELECT pg_current_wal_lsn()")[0]
        until = datetime.now(tz=UTC) + timedelta(seconds=30)
        while not standby.ask(f"SELECT pg_last_wal_replay_lsn() >= '{written}'")[0][0]:
            assert datetime.now(tz=UTC) < until, "the standby does not follow"


@pytest.fixture(scope="module")
def clinic(tmp_path_factory):
    with ExitStack() as keep:
        yield Clinic(keep, tmp_path_factory.mktemp("promotion") / "clinic")


@pytest.mark.parametrize("redraw", [True, False], ids=["new_identity", "same_identity"])
def test_phones_bring_back_what_the_standby_never_got(clinic, redraw, long_run, tally):
    behind, times = [], 25 if long_run else 1
    for _ in range(times):
        behind.append(clinic.fail_over(redraw=redraw))
        assert behind[-1] > 0
        assert settle(clinic.phones) == ["settled"] * PHONES
        result = audit(clinic.server, clinic.phones)
        assert result.faults == {}

    tally(f"promotions {times}, entries the standby lacked {behind}; {result}")


def test_under_a_new_identity_phones_hear_what_the_clinic_writes_afterwards(clinic):
    clinic.fail_over(redraw=True)
    programs = json.loads(clinic.server.python("-c", REVISE_ALL))

    assert settle(clinic.phones) == ["settled"] * PHONES
    assert [programs[phone.id] in phone.heard for phone in clinic.phones] == [True] * PHONES
