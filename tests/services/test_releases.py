"""Release codes: whom they are shown for, what they cover, and when they go."""

import re
from datetime import timedelta

import pytest

from homeprogram.calc.release import grouped, release_code
from homeprogram.models import Hold
from homeprogram.selectors.plans import context_of
from homeprogram.selectors.releases import releases
from homeprogram.services.holds import hold_lift
from homeprogram.services.pairing import release_key_of
from tests.conftest import PairedPhone
from tests.entries import entry_id, skin
from tests.rules.build import shared_cases
from tests.support.pushes import push_at

HOUR = timedelta(hours=1)


@pytest.mark.parametrize(("given", "expected"), shared_cases("release.json"))
def test_the_clinic_makes_the_code_the_phone_expects(given, expected):
    assert release_code(given["key"], given["entries"]) == expected


def react(phone, episode, at) -> str:
    check = phone.entry("skin_check", skin(raised=True), episode_id=str(episode.id))
    push_at(phone, at, check)
    return entry_id(check)


def lift(patient, at, holds=None):
    holds = holds or list(Hold.objects.filter(lift=None))
    return hold_lift(patient=patient, by=patient.clinician, holds=holds, reason="seen", now=at)


def shown(patient, at) -> list[tuple]:
    found = releases(context_of(patient=patient, now=at, days_back=0))
    return [(one.phone.id, one.code, one.holds) for one in found]


@pytest.fixture
def key(phone) -> str:
    return phone.http.get("/api/v1/sync/pull/?release=1").json()["release_key"]


def test_a_phone_hears_its_key_only_when_it_asks_and_always_the_same(phone, key):
    assert re.fullmatch(r"[0-9a-f]{64}", key)
    assert "release_key" not in phone.pull().json()
    assert phone.http.get("/api/v1/sync/pull/?release=1&cursor=").json()["release_key"] == key


def test_two_phones_have_two_keys(phone, key, patient, clinician, now):
    other = PairedPhone(patient, patient.clinician, now, replaces=False)

    assert release_key_of(phone=other.row) != key


def test_after_a_lift_the_code_covers_what_was_lifted(phone, key, episode, patient, now):
    first, second = (react(phone, episode, now + n * HOUR) for n in range(2))
    lift(patient, now + 2 * HOUR)

    code = grouped(release_code(key, [first, second]))
    assert shown(patient, now + 3 * HOUR) == [(phone.id, code, 2)]


def test_what_was_raised_after_it_is_not_in_it(phone, key, episode, patient, now):
    first = react(phone, episode, now)
    holds = list(Hold.objects.all())
    react(phone, episode, now + HOUR)
    lift(patient, now + 2 * HOUR, holds)

    assert shown(patient, now + 3 * HOUR) == [(phone.id, grouped(release_code(key, [first])), 1)]


def test_the_code_goes_once_the_phone_was_heard(phone, key, episode, patient, now):
    react(phone, episode, now)
    lift(patient, now + HOUR)
    push_at(phone, now + 2 * HOUR)

    assert shown(patient, now + 3 * HOUR) == []


def test_a_phone_that_never_asked_for_a_key_has_no_code(phone, episode, patient, now):
    react(phone, episode, now)
    lift(patient, now + HOUR)

    assert shown(patient, now + 2 * HOUR) == []


def test_a_phone_that_knows_of_no_hold_waits_for_none(phone, key, episode, patient, now):
    other = PairedPhone(patient, patient.clinician, now, replaces=False)
    release_key_of(phone=other.row)
    told = react(phone, episode, now + HOUR)
    lift(patient, now + 2 * HOUR)

    assert shown(patient, now + 3 * HOUR) == [(phone.id, grouped(release_code(key, [told])), 1)]


def test_two_weeks_later_it_is_shown_no_more(phone, key, episode, patient, now):
    react(phone, episode, now)
    lift(patient, now + HOUR)

    assert shown(patient, now + timedelta(days=14)) != []
    assert shown(patient, now + timedelta(days=14, hours=1)) == []
