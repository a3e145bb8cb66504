"""What clinicians do about a card: one closes it, nothing newer hides behind that, all is kept."""

from datetime import timedelta

import pytest
from django.db import connection
from django.utils import timezone

from homeprogram.errors import RuleBroken
from homeprogram.models import Flag, FlagEvent
from homeprogram.services.flag_acts import flag_close, flag_remark, flag_see
from homeprogram.services.flags import patient_flags_refresh
from homeprogram.services.patients import patient_add
from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program
from tests.entries import skin
from tests.support.concurrency import at_once, committed
from tests.support.pushes import push_at

HOUR = timedelta(hours=1)


@pytest.fixture
def react(phone, episode):
    """Push a raised patch, received at that moment."""

    def pushed(moment):
        check = phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id))
        push_at(phone, moment, check)

    return pushed


@pytest.fixture
def flag(react, now) -> Flag:
    react(now)
    return card()


def card() -> Flag:
    return Flag.objects.get(reason="skin_reaction")


def close(flag, by, moment, **said) -> None:
    told = {"outcome": "acted_on", "reason": "rang: redness only"} | said
    flag_close(flag=flag, by=by, now=moment, **told)


def events(*fields: str) -> list[tuple]:
    return list(FlagEvent.objects.order_by("at").values_list(*fields))


def test_a_new_card_waits_to_be_seen(flag, now):
    assert (flag.waits_since, flag.seen_at, flag.seen_by) == (now, None, None)


def test_the_first_who_looked_is_written_down_once(flag, clinician, lead, now):
    flag_see(flag=flag, by=clinician, now=now + HOUR)
    flag_see(flag=flag, by=lead, now=now + 2 * HOUR)

    assert (card().state, card().seen_at, card().seen_by) == ("open", now + HOUR, clinician)
    assert events("deed", "by", "at") == [("seen", clinician.id, now + HOUR)]


def test_a_newer_fact_waits_to_be_seen_again(flag, react, clinician, now):
    flag_see(flag=flag, by=clinician, now=now + HOUR)

    react(now + 2 * HOUR)

    assert (card().seen_at, card().waits_since, card().count) == (None, now + 2 * HOUR, 2)


def test_a_newer_fact_does_not_make_an_unseen_card_younger(flag, react, now):
    react(now + 2 * HOUR)

    assert card().waits_since == now


def test_closing_keeps_the_outcome_on_the_card_and_in_its_history(flag, clinician, now):
    close(flag, clinician, now + HOUR, outcome="nothing_needed")

    assert (card().state, card().outcome, card().closed_by) == (
        "closed", "nothing_needed", clinician,
    )  # fmt: skip
    assert events("deed", "outcome", "words", "reason", "opened_at", "at") == [
        ("closed", "nothing_needed", "rang: redness only", "skin_reaction", now, now + HOUR)
    ]


def test_each_closing_of_a_card_that_opens_anew_is_kept(flag, react, clinician, now):
    close(flag, clinician, now + HOUR)
    react(now + 2 * HOUR)
    again = card()

    close(again, clinician, now + 3 * HOUR, outcome="wrong")

    assert (again.outcome, again.seen_at, again.waits_since) == ("", None, now + 2 * HOUR)
    assert events("outcome", "opened_at") == [("acted_on", now), ("wrong", now + 2 * HOUR)]


def test_a_card_that_cleared_itself_is_in_the_history_too(after_two_missed_days, phone, patient):
    later = after_two_missed_days + HOUR
    Flag.objects.filter(reason="missed_days").update(reason="over_use")

    patient_flags_refresh(patient_id=patient.id, now=later)

    assert events("deed", "reason", "by", "at") == [("cleared", "over_use", None, later)]


def test_what_arrived_while_somebody_looked_is_not_closed_with_the_rest(
    flag, react, clinician, now
):
    react(now + HOUR)

    with pytest.raises(RuleBroken) as refusal:
        close(flag, clinician, now + 2 * HOUR, known_until=flag.fact_at)

    assert refusal.value.code == "flag_changed"
    assert card().state == "open"


def test_what_was_on_its_way_while_somebody_closed_opens_the_card_again(
    flag, react, clinician, now
):
    close(flag, clinician, now + 2 * HOUR)

    react(now + HOUR)  # received before the closing, taken after it

    assert (card().state, card().count) == ("open", 2)


def test_the_second_to_close_hears_who_did_and_can_add_a_remark(flag, clinician, lead, now):
    close(flag, clinician, now + HOUR)

    with pytest.raises(RuleBroken) as refusal:
        close(flag, lead, now + 2 * HOUR, reason="saw her on the ward")
    flag_remark(flag=flag, by=lead, words="saw her on the ward", now=now + 2 * HOUR)

    assert refusal.value.code == "flag_not_open"
    assert refusal.value.message == "Ro Desk has closed this flag: “rang: redness only”."
    assert (card().closed_by, card().close_reason) == (clinician, "rang: redness only")
    assert events("deed", "by", "words") == [
        ("closed", clinician.id, "rang: redness only"),
        ("remark", lead.id, "saw her on the ward"),
    ]


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"reason": " "}, "reason_missing"),
        ({"outcome": ""}, "outcome_missing"),
        ({"outcome": "cleared"}, "outcome_missing"),
    ],
)
def test_a_safety_card_needs_a_reason_and_an_outcome(flag, clinician, now, said, code):
    with pytest.raises(RuleBroken) as refusal:
        close(flag, clinician, now, **said)

    assert refusal.value.code == code
    assert card().state == "open"


def test_somebody_of_another_clinic_or_whose_access_ended_closes_nothing(
    flag, outsider, clinician, now
):
    clinician.active = False

    for who in (outsider, clinician):
        with pytest.raises(RuleBroken) as refusal:
            close(flag, who, now)
        assert refusal.value.code == "not_a_clinician"

    assert card().state == "open"


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite lets one writer in at a time")
def test_of_two_who_close_at_once_one_does_and_the_other_hears_who(
    django_db_setup, django_db_blocker
):
    with committed(django_db_blocker):
        now = timezone.now()
        clinic = make_clinic(now)
        people = [
            make_clinician(clinic, f"{name}@larkrise.example", now, name=name)
            for name in ("Ro", "Una", "Ines")
        ]
        patient = patient_add(by=people[0], name="Wilma Tarn", now=now, zone="UTC")
        episode = make_program(patient, people[0], now).program.episode
        phone = PairedPhone(patient, people[0], now)
        check = phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id))
        push_at(phone, now, check)
        shown = card()

        came = at_once(3, lambda n: close(shown, people[n], now + HOUR, reason=f"says {n}"))

        first = came.index(None)
        refused = [one for one in came if one is not None]
        assert {one.code for one in refused} == {"flag_not_open"}
        assert {one.message for one in refused} == {
            f"{people[first].name} has closed this flag: “says {first}”."
        }
        assert events("deed", "by", "words") == [("closed", people[first].id, f"says {first}")]
