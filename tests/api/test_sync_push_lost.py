"""What a phone can no longer send: told, written down, and never called missed."""

from datetime import UTC, date, datetime, timedelta

import pytest

from homeprogram.models import Flag, HeldEntry, Phone
from homeprogram.selectors.plans import context_of
from homeprogram.services.flag_acts import flag_close
from tests.entries import refrozen
from tests.support.pushes import millis, push_at

MORNING = {"swelling": "none", "knee_pain": 2}
THURSDAY = datetime(2030, 3, 7, 13, tzinfo=UTC)  # Wednesday is closed, Thursday not
SATURDAY = datetime(2030, 3, 9, 13, tzinfo=UTC)


@pytest.fixture
def named(phone, revision, now):
    """The phone has the program, and held nothing unsent on Thursday after noon."""
    push_at(phone, now, have=[revision.id])
    push_at(phone, THURSDAY, claim=True)
    return phone


def morning(phone, episode, **body):
    return phone.entry("morning_check", MORNING, episode_id=str(episode.id), **body)


def statuses(patient, at, first: int, last: int) -> list[str]:
    context = context_of(patient=patient, now=at, days_back=28)
    (episode,) = context.episodes
    return [str(d.status) for d in context.days(episode, date(2030, 3, first), date(2030, 3, last))]


def row(phone) -> Phone:
    return Phone.objects.get(id=phone.id)


def test_a_gap_the_phone_cannot_fill_is_no_gap_any_more_and_the_watermark_passes(named, episode):
    push_at(named, SATURDAY, morning(named, episode, number=3))

    pushed = push_at(named, SATURDAY, claim=True, lost=[1, 2])

    assert pushed.gaps == []
    assert row(named).claim_at == SATURDAY


def test_the_days_a_lost_entry_may_have_been_for_stay_unknown(named, patient, episode):
    push_at(named, SATURDAY, morning(named, episode, number=2))
    push_at(named, SATURDAY, claim=True, lost=[1])
    later = SATURDAY + timedelta(days=3)
    push_at(named, later, claim=True)

    # Closed before the last claim, open then or later, and after it was told.
    assert statuses(patient, later, 6, 10) == [
        "missed",
        "not_known_yet",
        "not_known_yet",
        "not_known_yet",
        "missed",
    ]


def test_only_numbers_that_are_missing_can_be_lost(named, episode):
    push_at(named, SATURDAY, morning(named, episode, number=1), lost=[1, 2, 900])

    assert row(named).losses == []


def test_a_lost_entry_that_comes_after_all_is_stored(named, episode):
    late = morning(named, episode, number=1)
    push_at(named, SATURDAY, morning(named, episode, number=2))
    push_at(named, SATURDAY, claim=True, lost=[1])

    pushed = push_at(named, SATURDAY, late)

    assert [outcome.word for outcome in pushed.outcomes] == ["stored"]


def test_a_cleared_phone_is_written_down_once_however_often_it_tells(named):
    for _ in range(3):
        push_at(named, SATURDAY, claim=True, cleared_ms=millis(SATURDAY))

    (loss,) = row(named).losses
    assert (loss["numbers"], loss["since"]) == ([], THURSDAY.isoformat())
    assert loss["until"] == SATURDAY.isoformat()


def test_the_days_before_a_clearing_stay_unknown_behind_the_watermark(named, patient):
    later = SATURDAY + timedelta(days=3)
    push_at(named, later, claim=True, cleared_ms=millis(SATURDAY))

    assert statuses(patient, later, 6, 10) == [
        "missed",
        "not_known_yet",
        "not_known_yet",
        "not_known_yet",
        "missed",
    ]


def test_a_clearing_told_by_a_wrong_clock_is_dated_by_ours(named):
    slow = timedelta(days=400)

    push_at(named, SATURDAY, cleared_ms=millis(SATURDAY - slow), clock_off=-slow)

    assert row(named).losses[0]["until"] == SATURDAY.isoformat()


def test_lost_entries_raise_a_card_that_stands_until_a_person_closes_it(named, episode, clinician):
    push_at(named, SATURDAY, claim=True, cleared_ms=millis(SATURDAY))
    push_at(named, SATURDAY + timedelta(days=1), claim=True)
    flag = Flag.objects.get(reason="lost_entries")

    assert flag.state == "open"
    flag_close(flag=flag, by=clinician, outcome="acted_on", reason="asked: two bouts", now=SATURDAY)
    push_at(named, SATURDAY + timedelta(days=2), claim=True)
    assert Flag.objects.get(reason="lost_entries").state == "closed"


def test_an_item_nobody_can_read_stops_no_watermark_once_the_phone_has_told(named, episode):
    push_at(named, SATURDAY, morning(named, episode, number=2), refrozen("not json"))

    pushed = push_at(named, SATURDAY, claim=True, lost=[1])

    assert HeldEntry.objects.count() == 1
    assert (pushed.gaps, row(named).claim_at) == ([], SATURDAY)


def test_a_phone_tells_in_its_pairing_how_far_the_clinic_has_heard_it(phone, episode):
    phone.push(morning(phone, episode), morning(phone, episode))

    assert phone.http.get("/api/v1/pairing/").json()["high"] == 2


def test_a_push_of_the_first_release_says_neither_and_is_taken(phone, episode):
    reply = phone.push(morning(phone, episode))

    assert reply.status_code == 200
    assert row(phone).losses == []


def test_more_lost_numbers_than_an_answer_names_are_refused(phone):
    reply = phone.push(lost=list(range(1, 1002)))

    assert reply.status_code == 400
    assert "lost" in reply.json()["fields"]


def test_a_phone_cannot_make_the_clinic_write_losses_without_end(named):
    for n in range(105):
        push_at(named, SATURDAY, cleared_ms=millis(SATURDAY) + n)

    assert len(row(named).losses) == 100
