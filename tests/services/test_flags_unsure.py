"""A push never hangs on a rule, and a rule that broke closes no card."""

import logging
from datetime import timedelta

import pytest

from homeprogram.calc import flags as rules
from homeprogram.models import Entry, Flag
from homeprogram.services import flags
from tests.entries import BOUT
from tests.support.pushes import push_at

SECRET = "told in confidence"


def breaks(*_):
    raise ZeroDivisionError(SECRET)


def states() -> dict[str, str]:
    return dict(Flag.objects.values_list("reason", "state"))


@pytest.fixture
def bout(phone, revision):
    told = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    return phone.entry("bout", BOUT, for_date="2030-03-06", **told)


def test_the_push_is_stored_though_a_rule_breaks(after_two_missed_days, phone, bout, monkeypatch):
    monkeypatch.setitem(rules.LIMB_RULES, "under_dose", breaks)

    push_at(phone, after_two_missed_days + timedelta(hours=1), bout)

    assert Entry.objects.filter(kind="bout").count() == 1
    assert states()["rule_failed"] == "open"


def test_a_card_stays_while_its_rule_is_broken_and_clears_after(
    after_two_missed_days, phone, bout, patient, monkeypatch
):
    with monkeypatch.context() as patch:
        patch.setitem(rules.LIMB_RULES, "missed_days", breaks)
        push_at(phone, after_two_missed_days + timedelta(hours=1), bout, claim=True)
        while_broken = states()

    flags.patient_flags_refresh(
        patient_id=patient.id, now=after_two_missed_days + timedelta(hours=2)
    )

    assert (while_broken["missed_days"], while_broken["rule_failed"]) == ("open", "open")
    assert (states()["missed_days"], states()["rule_failed"]) == ("cleared", "cleared")


def test_facts_that_cannot_be_read_close_nothing(after_two_missed_days, phone, bout, monkeypatch):
    monkeypatch.setattr(flags, "facts_of", breaks)

    push_at(phone, after_two_missed_days + timedelta(hours=1), bout, claim=True)

    assert states() == {"missed_days": "open", "rule_failed": "open"}
    assert Flag.objects.get(reason="rule_failed").basis["what"] == ["facts"]


def test_the_log_says_where_it_broke_and_nothing_of_the_record(
    after_two_missed_days, phone, patient, monkeypatch, caplog
):
    monkeypatch.setitem(rules.LIMB_RULES, "under_dose", breaks)

    with caplog.at_level(logging.ERROR):
        push_at(phone, after_two_missed_days + timedelta(hours=1))

    [said] = [r.getMessage() for r in caplog.records if "under_dose" in r.getMessage()]
    assert "ZeroDivisionError" in said
    assert f"{__name__.rsplit('.')[-1]}.py" in said
    assert SECRET not in said
    assert patient.name not in said
