"""What a patient's days are called: watermark, gone phones, held entries, zones."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from homeprogram.models import HeldEntry
from homeprogram.selectors.plans import context_of, contexts
from homeprogram.services.pairing import phone_revoke
from homeprogram.services.patients import patient_add
from homeprogram.services.programs import program_end, program_pause
from tests.conftest import PairedPhone, make_program
from tests.entries import BOUT, skin
from tests.support.pushes import push_at

DAY = timedelta(days=1)
HOUR = timedelta(hours=1)
MARCH_9_NOON = datetime(2030, 3, 9, 12, tzinfo=UTC)


@pytest.fixture
def named(phone, revision, now):
    """The phone follows the program from 5 March on."""
    push_at(phone, now, have=[revision.id])
    return phone


def statuses(patient, now, first: int, last: int) -> list[str]:
    """Of days in March 2030."""
    context = context_of(patient=patient, now=now, days_back=28)
    (episode,) = context.episodes
    days = context.days(episode, date(2030, 3, first), date(2030, 3, last))
    return [day.status.value for day in days]


def bout(phone, revision, day: str, **payload):
    return phone.entry(
        "bout",
        BOUT | payload,
        for_date=day,
        episode_id=str(revision.program.episode_id),
        revision_id=str(revision.id),
    )


def test_a_week_with_everything_in_it(named, revision, patient):
    program = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    push_at(
        named,
        MARCH_9_NOON,
        bout(named, revision, "2030-03-05"),
        bout(named, revision, "2030-03-06", contractions=5),
        named.entry("not_done", {"ordinal": 1, "reason": "ill"}, for_date="2030-03-07", **program),
        claim=True,
    )

    assert statuses(patient, MARCH_9_NOON, 4, 10) == [
        "not_due",
        "done",
        "partly_done",
        "not_done",
        "missed",
        "still_open",
        "still_open",
    ]


def test_a_day_is_open_until_noon_of_the_next(named, patient):
    just_before = MARCH_9_NOON - timedelta(seconds=1)
    push_at(named, just_before, claim=True)
    before = statuses(patient, just_before, 8, 8)
    push_at(named, MARCH_9_NOON, claim=True)

    assert (before, statuses(patient, MARCH_9_NOON, 8, 8)) == (["still_open"], ["missed"])


def test_behind_the_last_claim_nothing_is_known(named, patient):
    push_at(named, MARCH_9_NOON - 25 * HOUR, claim=True)

    assert statuses(patient, MARCH_9_NOON, 5, 8) == [
        "missed",
        "missed",
        "not_known_yet",
        "not_known_yet",
    ]


def test_a_phone_that_never_claimed_is_known_up_to_its_confirmation(named, patient):
    assert statuses(patient, MARCH_9_NOON, 5, 6) == ["not_known_yet", "not_known_yet"]


def test_the_watermark_is_that_of_the_phone_least_heard_of(named, patient, clinician, now):
    tablet = PairedPhone(patient, clinician, now, label="tablet", replaces=False)
    push_at(tablet, MARCH_9_NOON - 2 * DAY, claim=True)
    push_at(named, MARCH_9_NOON, claim=True)

    context = context_of(patient=patient, now=MARCH_9_NOON, days_back=28)

    assert context.watermark == MARCH_9_NOON - 2 * DAY
    assert context.last_contact_at == MARCH_9_NOON
    assert statuses(patient, MARCH_9_NOON, 6, 8) == ["missed", "not_known_yet", "not_known_yet"]


def test_a_waiting_phone_holds_nothing_back(named, patient, clinician, now):
    from homeprogram.services.pairing import code_create, phone_pair

    code = code_create(patient=patient, by=clinician, now=now)
    phone_pair(secret=code.code, label="new", address="10.0.0.2", now=now)
    push_at(named, MARCH_9_NOON, claim=True)

    assert statuses(patient, MARCH_9_NOON, 8, 8) == ["missed"]


def test_without_any_phone_nothing_is_known(revision, patient):
    context = context_of(patient=patient, now=MARCH_9_NOON, days_back=28)

    assert (context.watermark, context.last_contact_at) == (None, None)


@pytest.mark.parametrize("state", ["replaced", "stolen"])
def test_what_a_gone_phone_never_told_stays_unknown(named, patient, clinician, state):
    push_at(named, datetime(2030, 3, 7, 11, tzinfo=UTC), claim=True)  # the 6th is not closed yet
    phone_revoke(phone=named.row, state=state, now=datetime(2030, 3, 8, 15, tzinfo=UTC))
    new = PairedPhone(patient, clinician, datetime(2030, 3, 8, 16, tzinfo=UTC))
    later = datetime(2030, 3, 11, 12, tzinfo=UTC)
    push_at(new, later, claim=True)

    assert statuses(patient, later, 5, 10) == [
        "missed",
        "not_known_yet",
        "not_known_yet",
        "not_known_yet",
        "missed",
        "missed",
    ]


def test_a_gone_phone_that_spoke_after_noon_told_of_the_day_before(named, patient, clinician):
    push_at(named, datetime(2030, 3, 7, 12, tzinfo=UTC), claim=True)
    phone_revoke(phone=named.row, state="stolen", now=datetime(2030, 3, 7, 13, tzinfo=UTC))
    later = datetime(2030, 3, 11, 12, tzinfo=UTC)
    push_at(PairedPhone(patient, clinician, later - DAY), later, claim=True)

    assert statuses(patient, later, 6, 8) == ["missed", "not_known_yet", "missed"]


def test_the_noon_that_counts_for_a_gone_phone_is_the_clocks(clinician, now):
    """On 3 November 2030 New York has 25 hours: at 11:30 it is 12.5 hours after midnight."""
    patient, revision, phone = in_zone(clinician, now, "America/New_York")
    push_at(phone, now, have=[revision.id])
    push_at(phone, datetime(2030, 11, 3, 16, 30, tzinfo=UTC), claim=True)
    phone_revoke(phone=phone.row, state="stolen", now=datetime(2030, 11, 3, 18, tzinfo=UTC))
    later = datetime(2030, 11, 5, 18, tzinfo=UTC)
    push_at(PairedPhone(patient, clinician, later - DAY), later, claim=True)

    assert named_days(patient, later, date(2030, 11, 1), date(2030, 11, 4)) == [
        "missed",
        "not_known_yet",
        "not_known_yet",
        "missed",
    ]


def test_a_day_with_a_held_entry_stays_unknown_until_it_is_settled(named, patient, clinician):
    push_at(named, MARCH_9_NOON, named.entry("song", {}, for_date="2030-03-07"), claim=True)
    held = statuses(patient, MARCH_9_NOON, 6, 8)
    HeldEntry.objects.update(settled_at=MARCH_9_NOON, settled_by=clinician)

    assert held == ["missed", "not_known_yet", "missed"]
    assert statuses(patient, MARCH_9_NOON, 6, 8) == ["missed", "missed", "missed"]


def test_a_pause_excuses_its_days_and_logged_bouts_are_still_counted(
    named, revision, patient, clinician
):
    program_pause(
        program=revision.program,
        by=clinician,
        reason="illness",
        now=MARCH_9_NOON,
        first_day=date(2030, 3, 6),
        last_day=date(2030, 3, 7),
    )
    push_at(named, MARCH_9_NOON, bout(named, revision, "2030-03-06"), claim=True)

    assert statuses(patient, MARCH_9_NOON, 5, 8) == ["missed", "paused", "paused", "missed"]
    context = context_of(patient=patient, now=MARCH_9_NOON, days_back=28)
    on = date(2030, 3, 6)
    assert context.days(context.episodes[0], on, on)[0].logged.bouts_done == 1


def test_a_hold_excuses_its_limb_until_it_is_lifted(named, episode, patient, clinician):
    from homeprogram.models import Hold
    from homeprogram.services.holds import hold_lift

    check = named.entry(
        "skin_check", skin(raised=True), for_date="2030-03-06", episode_id=str(episode.id)
    )
    push_at(named, datetime(2030, 3, 6, 20, tzinfo=UTC), check)
    lifted = datetime(2030, 3, 7, 9, tzinfo=UTC)
    hold_lift(patient=patient, by=clinician, holds=Hold.objects.all(), reason="ok", now=lifted)
    push_at(named, MARCH_9_NOON, claim=True)

    assert statuses(patient, MARCH_9_NOON, 5, 8) == ["missed", "paused", "paused", "missed"]


def test_a_hold_of_one_limb_leaves_the_other_due(named, episode, patient, clinician, now):
    other = make_program(patient, clinician, now, limb="right")
    check = named.entry(
        "skin_check", skin(raised=True), for_date="2030-03-06", episode_id=str(episode.id)
    )
    push_at(named, datetime(2030, 3, 6, 20, tzinfo=UTC), check, have=[other.id], claim=True)
    context = context_of(patient=patient, now=MARCH_9_NOON, days_back=28)
    on = date(2030, 3, 8)

    found = {e.limb: context.days(e, on, on)[0].due.paused for e in context.episodes}

    assert found == {"left": True, "right": False}


def test_after_the_end_nothing_is_due(named, revision, patient):
    program_end(
        program=revision.program,
        by=revision.created_by,
        reason="done",
        now=datetime(2030, 3, 6, 9, tzinfo=UTC),
    )
    push_at(named, MARCH_9_NOON, claim=True)

    assert statuses(patient, MARCH_9_NOON, 5, 8) == ["missed", "missed", "not_due", "not_due"]


# --- zones ----------------------------------------------------------------------------


def in_zone(clinician, now, zone: str):
    patient = patient_add(by=clinician, name="Wilma Tarn", now=now, zone=zone)
    revision = make_program(patient, clinician, now)
    return patient, revision, PairedPhone(patient, clinician, now, standing=True)


def named_days(patient, now, first: date, last: date) -> list[str]:
    context = context_of(patient=patient, now=now, days_back=28)
    return [day.status.value for day in context.days(context.episodes[0], first, last)]


@pytest.mark.parametrize(
    ("zone", "day", "closes"),
    [
        # Clocks go forward at 2:00 on 10 March 2030, back on 3 November.
        ("America/New_York", date(2030, 3, 8), datetime(2030, 3, 9, 17, tzinfo=UTC)),
        ("America/New_York", date(2030, 3, 9), datetime(2030, 3, 10, 16, tzinfo=UTC)),
        ("America/New_York", date(2030, 11, 1), datetime(2030, 11, 2, 16, tzinfo=UTC)),
        ("America/New_York", date(2030, 11, 2), datetime(2030, 11, 3, 17, tzinfo=UTC)),
        # Thirteen hours ahead of UTC all year.
        ("Pacific/Apia", date(2030, 3, 8), datetime(2030, 3, 8, 23, tzinfo=UTC)),
    ],
    ids=str,
)
def test_a_day_closes_at_noon_by_the_patients_clock(clinician, now, zone, day, closes):
    patient, revision, phone = in_zone(clinician, now, zone)
    push_at(phone, now, have=[revision.id])
    found = []
    for moment in (closes - timedelta(seconds=1), closes):
        push_at(phone, moment, claim=True)
        found += named_days(patient, moment, day, day)

    assert found == ["still_open", "missed"]


def test_the_day_the_patient_named_is_never_recomputed(clinician, now):
    """Saved at 23:50 in Apia: in UTC it is still the morning of that day."""
    patient, revision, phone = in_zone(clinician, now, "Pacific/Apia")
    push_at(phone, now, have=[revision.id])
    saved = datetime(2030, 3, 8, 10, 50, tzinfo=UTC)
    entry = bout(phone, revision, "2030-03-08")
    push_at(phone, saved, entry, claim=True)

    assert named_days(patient, saved, date(2030, 3, 7), date(2030, 3, 9)) == [
        "missed",
        "done",
        "still_open",
    ]


def test_today_is_the_patients_today(clinician, now):
    moment = datetime(2030, 3, 10, 3, 30, tzinfo=UTC)

    days = [
        context_of(patient=in_zone(clinician, now, zone)[0], now=moment, days_back=7).today
        for zone in ("America/New_York", "Pacific/Apia")
    ]

    assert days == [date(2030, 3, 9), date(2030, 3, 10)]


# --- many patients --------------------------------------------------------------------


def test_thirty_patients_are_read_with_as_many_questions_as_one(clinician, now):
    patients = []
    for _ in range(30):
        patient, revision, phone = in_zone(clinician, now, "UTC")
        push_at(phone, now, bout(phone, revision, "2030-03-05"), have=[revision.id])
        patients.append(patient)

    def questions(some) -> int:
        with CaptureQueriesContext(connection) as queries:
            for context in contexts(patients=some, now=MARCH_9_NOON, days_back=28):
                context.days(context.episodes[0], date(2030, 3, 1), date(2030, 3, 9))
        return len(queries)

    assert questions(patients) == questions(patients[:1]) == 1


def test_contexts_keep_to_their_patients_and_the_order_asked(clinician, now):
    worlds = [in_zone(clinician, now, "UTC") for _ in range(3)]
    for number, (_, revision, phone) in enumerate(worlds):
        push_at(phone, now, *[bout(phone, revision, f"2030-03-{5 + n:02d}") for n in range(number)])

    found = contexts(patients=[w[0] for w in reversed(worlds)], now=MARCH_9_NOON, days_back=28)

    assert [one.patient for one in found] == [w[0] for w in reversed(worlds)]
    assert [len(one.rows) for one in found] == [2, 1, 0]
    assert [one.phones[0].id for one in found] == [w[2].id for w in reversed(worlds)]
