"""Corrections and withdrawals: new entries that change how old ones are read."""

from datetime import timedelta
from itertools import permutations

import pytest
from django.utils import timezone

from homeprogram.models import Bout, Entry, Flag, Hold, PatientDay, SkinCheck
from homeprogram.services.flag_acts import flag_close
from homeprogram.services.holds import hold_lift
from tests.conftest import PairedPhone
from tests.entries import BOUT, entry_id, skin
from tests.support.pushes import outcomes, push_at


@pytest.fixture
def program(revision) -> dict:
    return {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}


def bout(phone, program, **payload):
    return phone.entry("bout", BOUT | payload, **program)


def correction(phone, program, of: dict, payload: dict, **body):
    said = {"of": entry_id(of), "payload": payload, "reason": "mistyped"}
    return phone.entry("correction", said, **program | body)


def withdrawal(phone, program, of: dict, **body):
    return phone.entry("withdrawal", {"of": entry_id(of), "reason": "not done"}, **program | body)


def day() -> tuple[int, int, int]:
    row = PatientDay.objects.get()
    return row.bouts_done, row.bouts_partial, row.contractions


def test_a_correction_is_read_instead_and_both_are_kept(phone, program):
    first = bout(phone, program)
    phone.push(first)

    phone.push(correction(phone, program, first, BOUT | {"contractions": 5, "discomfort": 8}))

    assert day() == (0, 1, 5)
    assert Bout.objects.get().discomfort == 8
    assert Entry.objects.get(entry_id=entry_id(first)).payload["contractions"] == 15
    assert Entry.objects.count() == 2


def test_a_correction_written_days_later_changes_the_day_of_its_target(phone, program):
    first = bout(phone, program)
    phone.push(first)

    later = correction(phone, program, first, BOUT | {"contractions": 5}, for_date="2030-03-20")
    phone.push(later)

    assert PatientDay.objects.get().day.isoformat() == "2030-03-05"
    assert day() == (0, 1, 5)


def test_a_withdrawn_bout_counts_nothing(phone, program):
    first = bout(phone, program)
    phone.push(first)

    phone.push(withdrawal(phone, program, first))

    assert day() == (0, 0, 0)
    assert not Bout.objects.exists()
    assert Entry.objects.count() == 2


def test_a_withdrawn_skin_check_leaves_no_row(phone, program):
    first = phone.entry("skin_check", skin(), **program)
    phone.push(first)

    phone.push(withdrawal(phone, program, first))

    assert not SkinCheck.objects.exists()


def test_the_last_of_a_chain_of_corrections_is_read(phone, program):
    first = bout(phone, program)
    second = correction(phone, program, first, BOUT | {"contractions": 5})
    third = correction(phone, program, second, BOUT | {"contractions": 9})
    for one in (first, second, third):
        phone.push(one)

    assert day() == (0, 1, 9)


def test_any_order_of_arrival_reads_the_same(phone, program):
    orders = list(permutations(range(4)))
    for place, order in enumerate(orders):
        on = program | {"for_date": f"2030-04-{place + 1:02d}"}
        first = bout(phone, on)
        second = correction(phone, program, first, BOUT | {"contractions": 5})
        third = correction(phone, program, second, BOUT | {"contractions": 9})
        entries = [first, second, third, bout(phone, on, minutes=0.1)]
        for number in order:
            assert outcomes(phone.push(entries[number])) == ["stored"]

    rows = Bout.objects.values_list("for_date", "contractions", "minutes")
    assert sorted((contractions, minutes) for _, contractions, minutes in rows) == (
        [(9, 15.0)] * 24 + [(15, 0.1)] * 24
    )
    days = PatientDay.objects.values_list("bouts_done", "bouts_partial", "contractions", "minutes")
    assert list(days) == [(1, 1, 24, 15.1)] * 24


def test_a_correction_of_another_kind_than_its_target_is_held(phone, program):
    first = bout(phone, program)
    phone.push(first)

    (receipt,) = phone.push(correction(phone, program, first, skin())).json()["receipts"]

    assert (receipt["outcome"], receipt["reason"]["code"]) == ("held", "payload_invalid")
    assert day() == (1, 0, 15)


def test_one_that_came_first_and_does_not_fit_changes_nothing(phone, program):
    first = bout(phone, program)
    phone.push(correction(phone, program, first, skin()))

    phone.push(first)

    assert day() == (1, 0, 15)


def test_two_phones_may_correct_the_same_entry(phone, program, patient, clinician, now):
    tablet = PairedPhone(patient, clinician, now, label="tablet", replaces=False)
    first = bout(phone, program)
    phone.push(first)

    words = [
        outcomes(one.push(correction(one, program, first, BOUT | {"contractions": n})))
        for n, one in ((5, phone), (9, tablet))
    ]

    assert words == [["stored"], ["stored"]]
    assert Entry.objects.count() == 3
    assert Bout.objects.count() == 1


@pytest.mark.parametrize("amend", [withdrawal, None], ids=["withdrawn", "corrected"])
def test_no_amendment_lifts_a_hold_or_clears_its_flag(phone, program, amend):
    first = phone.entry("skin_check", skin(broken=True), **program)
    phone.push(first)

    if amend:
        phone.push(amend(phone, program, first))
    else:
        phone.push(correction(phone, program, first, skin()))

    assert Hold.objects.get().lift is None
    assert Flag.objects.get().state == "open"


def test_a_correction_to_something_worse_places_a_hold_of_its_own(phone, program):
    first = phone.entry("skin_check", skin(), **program)
    phone.push(first)
    worse = correction(phone, program, first, skin(raised=True))

    phone.push(worse)

    hold = Hold.objects.get()
    assert (str(hold.entry.entry_id), hold.reason) == (entry_id(worse), "skin_grade_3")
    assert Flag.objects.get().reason == "skin_reaction"


def test_a_worse_correction_opens_a_closed_card_and_holds_again(
    phone, program, patient, clinician, now
):
    first = phone.entry("stop_report", {"symptoms": ["numb"]}, **program)
    push_at(phone, now, first)
    hold_lift(patient=patient, by=clinician, holds=[Hold.objects.get()], reason="seen", now=now)
    flag_close(flag=Flag.objects.get(), by=clinician, outcome="acted_on", reason="seen", now=now)

    worse = correction(phone, program, first, {"symptoms": ["numb", "chest_pain"]})
    push_at(phone, now + timedelta(hours=1), worse)

    assert Hold.objects.get(lift=None).reason == "emergency"
    assert Flag.objects.get().state == "open"


def test_a_reaction_after_the_lift_holds_again(phone, program, patient, clinician):
    phone.push(phone.entry("skin_check", skin(raised=True), **program))
    first = Hold.objects.get()
    now = timezone.now()
    hold_lift(patient=patient, by=clinician, holds=[first], reason="healed", now=now)

    phone.push(phone.entry("skin_check", skin(raised=True), **program))

    assert Hold.objects.filter(lift=None).count() == 1
    assert Hold.objects.get(lift=None) != first


def test_a_withdrawal_and_its_target_in_one_push_leave_an_empty_day(phone, program):
    first = bout(phone, program)

    phone.push(withdrawal(phone, program, first), first)

    assert day() == (0, 0, 0)
