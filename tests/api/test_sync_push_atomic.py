"""A receipt is given only for what is committed."""

import pytest

from homeprogram.models import Bout, Change, Entry, Hold, Patient, PatientDay, Phone
from tests.entries import BOUT, skin
from tests.support.faults import refused
from tests.support.pushes import outcomes


@pytest.fixture
def batch(phone, revision):
    program = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    phone.http.raise_request_exception = False
    return [
        phone.entry("bout", BOUT, **program),
        phone.entry("skin_check", skin(raised=True), **program),
    ]


# Each is written at another step of a push.
@pytest.mark.parametrize(
    "table",
    [
        "homeprogram_heldentry",
        "homeprogram_change",
        "homeprogram_hold",
        "homeprogram_bout",
        "homeprogram_patientday",
        "homeprogram_flag",
    ],
)
def test_a_fault_at_any_step_stores_nothing_and_receipts_nothing(phone, batch, patient, table):
    before = Patient.objects.get().log_version, Change.objects.count()
    broken = [*batch, {"body": "{", "sha256": "0" * 64}]

    with refused(table):
        reply = phone.push(*broken, claim=True)

    assert reply.status_code == 500
    assert reply["Content-Type"] != "application/vnd.boutwise.receipt+json"
    assert b"receipts" not in reply.content
    for model in (Entry, Hold, Bout, PatientDay):
        assert not model.objects.exists()
    assert (Patient.objects.get().log_version, Change.objects.count()) == before
    assert Phone.objects.get().last_contact_at is None


def test_after_the_fault_the_same_push_is_stored(phone, batch):
    with refused("homeprogram_flag"):
        phone.push(*batch)

    assert outcomes(phone.push(*batch)) == ["stored", "stored"]
    assert Entry.objects.count() == 2


def test_a_receipt_lost_after_the_commit_is_given_again(phone, batch):
    phone.push(*batch)  # the reply never reaches the phone

    assert outcomes(phone.push(*batch)) == ["already", "already"]
    assert Entry.objects.count() == 2
