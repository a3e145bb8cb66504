"""When a phone's claim that nothing is unsent moves its watermark."""

from datetime import timedelta

import pytest
from django.utils import timezone

from homeprogram.models import Phone
from homeprogram.services.pairing import phone_revoke
from tests.conftest import PairedPhone
from tests.entries import make_entry
from tests.support.pushes import millis, push_at

MORNING = {"swelling": "none", "knee_pain": 2}
HOUR = timedelta(hours=1)


@pytest.fixture
def later(now):
    return now + timedelta(days=2)


def morning(phone, episode, **body):
    return phone.entry("morning_check", MORNING, episode_id=str(episode.id), **body)


def watermark(phone):
    return Phone.objects.get(id=phone.id).claim_at


def test_a_claim_with_nothing_missing_moves_the_watermark_to_its_moment(phone, episode, later):
    push_at(phone, later, morning(phone, episode), claim=True, claimed_before=HOUR)

    assert watermark(phone) == later - HOUR
    assert Phone.objects.get(id=phone.id).claimed_to == 1


def test_a_claim_over_the_api_moves_it_too(phone, episode):
    before = timezone.now()

    phone.push(morning(phone, episode), claim=True)

    assert before - timedelta(milliseconds=2) <= watermark(phone) <= timezone.now()


def test_without_a_claim_nothing_moves(phone, episode, later):
    push_at(phone, later, morning(phone, episode))

    assert watermark(phone) is None


def test_a_gap_is_named_and_holds_the_watermark_back(phone, episode, later):
    entries = [morning(phone, episode, number=n) for n in (1, 2, 5)]

    pushed = push_at(phone, later, *entries, claim=True)

    assert pushed.gaps == [3, 4]
    assert watermark(phone) is None


def test_the_watermark_moves_once_the_gap_is_filled(phone, episode, later):
    first, second, third = (morning(phone, episode) for _ in range(3))
    push_at(phone, later, first, third, claim=True)

    pushed = push_at(phone, later + HOUR, second, claim=True)

    assert (pushed.high, pushed.gaps) == (3, [])
    assert watermark(phone) == later + HOUR


def test_an_announced_number_that_never_came_is_a_gap(phone, episode, later):
    pushed = push_at(phone, later, morning(phone, episode), high=3, claim=True)

    assert (pushed.high, pushed.gaps) == (3, [2, 3])
    assert watermark(phone) is None


def test_a_phone_cannot_take_back_the_number_it_announced(phone, episode, later):
    push_at(phone, later, high=9)

    pushed = push_at(phone, later, morning(phone, episode), high=1, claim=True)

    assert (pushed.high, pushed.gaps) == (9, list(range(2, 10)))
    assert watermark(phone) is None


def test_an_understated_number_is_no_honest_claim(phone, episode, later):
    entries = [morning(phone, episode) for _ in range(2)]

    pushed = push_at(phone, later, *entries, high=1, claim=True)

    assert (pushed.high, pushed.gaps) == (2, [])
    assert watermark(phone) is None


def test_gaps_are_named_up_to_a_thousand_however_high_the_number(phone, later):
    pushed = push_at(phone, later, high=2**31 - 1, claim=True)

    assert pushed.gaps == list(range(1, 1001))


def test_an_entry_in_custody_is_no_gap(phone, later):
    pushed = push_at(phone, later, phone.entry("song", {}), claim=True)

    assert pushed.gaps == []
    assert watermark(phone) == later


def test_another_phones_number_fills_no_gap(phone, episode, later):
    strange = make_entry(
        "morning_check", MORNING, phone_id=str(episode.id), number=1, episode_id=str(episode.id)
    )

    pushed = push_at(phone, later, strange, high=1, claim=True)

    assert pushed.gaps == [1]
    assert watermark(phone) is None


def test_a_damaged_number_fills_its_gap_only_once_a_person_settled_it(
    phone, episode, clinician, later
):
    from homeprogram.models import HeldEntry

    damaged = morning(phone, episode) | {"sha256": "0" * 64}
    before = push_at(phone, later, damaged, claim=True)
    HeldEntry.objects.update(settled_at=later, settled_by=clinician)

    after = push_at(phone, later + HOUR, claim=True)

    assert (before.gaps, after.gaps) == ([1], [])
    assert watermark(phone) == later + HOUR


@pytest.mark.parametrize(
    ("clock_off", "moves"),
    [
        (2 * HOUR, True),
        (-2 * HOUR, True),
        (2 * HOUR + timedelta(milliseconds=1), False),
        (-2 * HOUR - timedelta(milliseconds=1), False),
        (timedelta(days=730), False),
    ],
    ids=str,
)
def test_only_a_clock_within_two_hours_moves_the_watermark(phone, later, clock_off, moves):
    push_at(phone, later, claim=True, clock_off=clock_off)

    assert watermark(phone) == (later if moves else None)


def test_the_watermark_is_never_later_than_the_clinics_now(phone, later):
    push_at(phone, later, claim=True, claimed_before=-HOUR)

    assert watermark(phone) == later


def test_a_claim_overtaken_on_its_way_takes_nothing_back(phone, later):
    push_at(phone, later, claim=True)

    push_at(phone, later + HOUR, claim=True, claimed_before=5 * HOUR)

    assert watermark(phone) == later


def test_a_replaced_phones_claim_moves_nothing(phone, episode, later):
    push_at(phone, later, claim=True)
    phone_revoke(phone=phone.row, state="replaced", now=later)

    push_at(phone, later + HOUR, morning(phone, episode), claim=True)

    assert watermark(phone) == later


def test_one_phones_claim_says_nothing_for_the_other(phone, patient, clinician, now, later):
    tablet = PairedPhone(patient, clinician, now, label="tablet", replaces=False)

    push_at(tablet, later, claim=True)

    assert (watermark(tablet), watermark(phone)) == (later, None)


def test_the_clocks_offset_is_kept_beside_the_entry(phone, episode, later):
    push_at(phone, later, morning(phone, episode), clock_off=timedelta(days=730))

    row = phone.row.entries.get()
    assert row.clock_offset_ms == -730 * 86_400_000
    assert row.for_date.isoformat() == "2030-03-05"
    assert row.device_ms == 1_898_929_200_000
    assert millis(row.received_at) == millis(later)


def test_a_claim_is_dated_by_our_own_time_that_the_phone_heard(phone, episode, later):
    push_at(phone, later, morning(phone, episode), claim=True, heard_before=HOUR)

    assert watermark(phone) == later - HOUR


def test_a_claim_that_was_long_on_its_way_is_not_dated_by_its_arrival(phone, episode, later):
    """A gateway held a copy for 90 minutes; what was saved meanwhile is not behind it."""
    entry = morning(phone, episode)
    push_at(phone, later, entry, claim=True, heard_before=timedelta())

    push_at(
        phone,
        later + 1.5 * HOUR,
        entry,
        claim=True,
        heard_before=1.5 * HOUR,
        clock_off=-1.5 * HOUR,
    )

    assert watermark(phone) == later


def test_a_time_that_no_answer_of_ours_can_have_told_counts_as_now(phone, episode, later):
    push_at(phone, later, morning(phone, episode), claim=True, heard_before=-9 * HOUR)

    assert watermark(phone) == later


@pytest.mark.parametrize("clock", [0, 2**45, 2**53])
def test_a_phone_whose_clock_is_centuries_off_is_still_heard(phone, episode, clock):
    claim = {"at_ms": clock, "offset_min": 0, "zone": "UTC", "high": 1}

    reply = phone.push(morning(phone, episode), sent_ms=clock, cleared_ms=clock, claim=claim)

    assert [one["outcome"] for one in reply.json()["receipts"]] == ["stored"]
    assert watermark(phone) is None
