"""Cards open, close, open again and clear; what the rules look at is in tests/rules."""

from datetime import UTC, date, datetime, timedelta

import pytest

from homeprogram.errors import RuleBroken
from homeprogram.models import Flag, HeldEntry
from homeprogram.services.flag_acts import flag_close
from homeprogram.services.flags import patient_flags_refresh
from tests.entries import BOUT, skin
from tests.support.pushes import push_at

DAY = timedelta(days=1)
HOUR = timedelta(hours=1)


@pytest.fixture
def react(phone, episode):
    """Push a raised patch, received at that moment."""

    def pushed(moment):
        check = phone.entry(
            "skin_check", skin(raised=True), episode_id=str(episode.id),
            for_date=moment.date().isoformat(),
        )  # fmt: skip
        push_at(phone, moment, check)

    return pushed


@pytest.fixture
def log_bout(phone, revision):
    def pushed(moment, day: str):
        bout = phone.entry(
            "bout", BOUT, for_date=day, revision_id=str(revision.id),
            episode_id=str(revision.program.episode_id),
        )  # fmt: skip
        push_at(phone, moment, bout, claim=True)

    return pushed


def card(reason: str) -> Flag:
    return Flag.objects.get(reason=reason)


def close(reason: str, clinician, moment, why: str = "called, all well") -> None:
    flag_close(flag=card(reason), by=clinician, outcome="acted_on", reason=why, now=moment)


def test_two_days_missed_in_a_row_open_a_card(after_two_missed_days):
    flag = card("missed_days")

    assert (flag.state, flag.safety, flag.count) == ("open", False, 1)
    assert flag.opened_at == after_two_missed_days
    assert flag.basis["days"] == ["2030-03-05", "2030-03-06"]


def test_looking_again_changes_nothing(after_two_missed_days, patient):
    before = list(Flag.objects.order_by("id").values())

    for hour in range(3):
        patient_flags_refresh(patient_id=patient.id, now=after_two_missed_days + hour * HOUR)

    assert list(Flag.objects.order_by("id").values()) == before


def test_without_word_from_the_phone_nothing_is_missed(phone, revision, patient, now):
    push_at(phone, now, have=[revision.id], claim=True)

    patient_flags_refresh(patient_id=patient.id, now=now + 5 * DAY)

    assert set(Flag.objects.values_list("reason", flat=True)) == {"no_contact"}


def test_a_late_log_clears_the_card(after_two_missed_days, log_bout):
    log_bout(after_two_missed_days + HOUR, "2030-03-06")

    flag = card("missed_days")
    assert (flag.state, flag.closed_at) == ("cleared", after_two_missed_days + HOUR)
    assert flag.closed_by is None


def test_a_cleared_card_opens_again_when_its_rule_holds_again(
    after_two_missed_days, log_bout, phone, episode
):
    from homeprogram.models import Entry

    log_bout(after_two_missed_days + HOUR, "2030-03-06")
    said = {"of": str(Entry.objects.get().entry_id), "reason": "another day's"}
    withdrawal = phone.entry("withdrawal", said, episode_id=str(episode.id))

    push_at(phone, after_two_missed_days + 2 * HOUR, withdrawal, claim=True)

    flag = card("missed_days")
    assert (flag.state, flag.closed_at) == ("open", None)
    assert flag.opened_at == after_two_missed_days + 2 * HOUR


def test_a_closed_card_stays_closed_on_the_facts_it_was_closed_on(
    after_two_missed_days, clinician, patient
):
    close("missed_days", clinician, after_two_missed_days + HOUR)

    patient_flags_refresh(patient_id=patient.id, now=after_two_missed_days + 2 * HOUR)

    flag = card("missed_days")
    assert (flag.state, flag.closed_by, flag.close_reason) == (
        "closed",
        clinician,
        "called, all well",
    )


def test_a_closed_card_opens_on_a_newer_fact(react, clinician, now):
    react(now)
    close("skin_reaction", clinician, now + HOUR)

    react(now + DAY)

    flag = card("skin_reaction")
    assert (flag.state, flag.count, flag.fact_at) == ("open", 2, now + DAY)
    assert (flag.closed_at, flag.closed_by, flag.close_reason) == (None, None, "")


def test_an_open_card_counts_the_newer_fact(react, now):
    react(now)
    react(now + DAY)

    flag = card("skin_reaction")
    assert (flag.state, flag.count, flag.opened_at) == ("open", 2, now)
    assert len(flag.basis["entries"]) == 2


def test_a_safety_card_never_clears_itself(react, patient, now):
    react(now)

    patient_flags_refresh(patient_id=patient.id, now=now + 60 * DAY)

    assert card("skin_reaction").state == "open"


def test_a_held_entry_opens_a_card_that_clears_once_it_is_settled(phone, patient, clinician, now):
    push_at(phone, now, phone.entry("song", {}))
    opened = card("held_entry").state
    HeldEntry.objects.update(settled_at=now, settled_by=clinician)

    patient_flags_refresh(patient_id=patient.id, now=now + HOUR)

    assert (opened, card("held_entry").state) == ("open", "cleared")


def test_a_note_that_asks_is_a_wish_for_contact(phone, now):
    note = {"text": "Please call.", "wants_contact": True}
    push_at(phone, now, phone.entry("note_to_clinic", note))

    assert (card("contact_wanted").state, card("contact_wanted").episode) == ("open", None)


@pytest.mark.parametrize("why", ["", "  \n"])
def test_closing_needs_a_reason(react, clinician, now, why):
    react(now)

    with pytest.raises(RuleBroken) as refusal:
        close("skin_reaction", clinician, now, why)

    assert (refusal.value.code, list(refusal.value.fields)) == ("reason_missing", ["reason"])
    assert card("skin_reaction").state == "open"


def test_a_card_is_closed_once(react, clinician, now):
    react(now)
    close("skin_reaction", clinician, now)

    with pytest.raises(RuleBroken) as refusal:
        close("skin_reaction", clinician, now + HOUR)

    assert refusal.value.code == "flag_not_open"
    assert card("skin_reaction").closed_at == now


def test_each_limb_has_its_own_card(phone, patient, clinician, episode, now):
    from tests.conftest import make_program

    other = make_program(patient, clinician, now, limb="right").program.episode
    for limb in (episode, other):
        push_at(phone, now, phone.entry("skin_check", skin(raised=True), episode_id=str(limb.id)))

    flags = Flag.objects.filter(reason="skin_reaction")
    assert {flag.episode for flag in flags} == {episode, other}


def test_the_clinics_own_threshold_counts(phone, revision, clinician, now):
    from homeprogram.services.clinics import clinic_rules_set

    clinic_rules_set(clinic=clinician.clinic, rules={"missed_in_a_row": 3}, by=clinician, now=now)
    push_at(phone, now, have=[revision.id], claim=True)
    push_at(phone, datetime(2030, 3, 7, 13, tzinfo=UTC), claim=True)
    after_two = Flag.objects.filter(reason="missed_days").count()
    push_at(phone, datetime(2030, 3, 8, 13, tzinfo=UTC), claim=True)

    assert (after_two, card("missed_days").basis["days"][0]) == (0, date(2030, 3, 5).isoformat())
