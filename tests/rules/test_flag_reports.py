"""Cards that follow from single entries: stop report, a wish for contact, a held entry."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from homeprogram.calc.flag_facts import ReportFact
from homeprogram.calc.flags import contact_wanted, held_entry, stop_report
from tests.rules.build import DEFAULTS, facts

NOW = datetime(2030, 4, 1, 9, tzinfo=UTC)


def report(what: str, n: int = 1, **changes) -> ReportFact:
    values = {
        "entry_id": f"entry-{n}",
        "episode_id": "left",
        "day": "2030-03-30",
        "what": what,
        "received_at": NOW + timedelta(minutes=n),
    }
    return ReportFact(**values | changes)


def pain(*days: str) -> tuple[ReportFact, ...]:
    return tuple(report("pain", n, day=day) for n, day in enumerate(days))


def wishes(rules=DEFAULTS, **changes) -> list:
    return list(contact_wanted(facts(**{"now": NOW} | changes), rules))


# --- stop report ------------------------------------------------------------------------


def test_one_stop_report_is_a_card_with_every_symptom_and_one_entry():
    (card,) = stop_report([report("fever"), report("calf_pain")])

    assert card.key == ("left", "stop_report")
    assert card.basis["what"] == ["calf_pain", "fever"]
    assert card.basis["entries"] == ["entry-1"]


def test_two_reports_of_one_limb_are_one_card_as_new_as_the_newer():
    (card,) = stop_report([report("pop", 5), report("numb", 2)])

    assert card.fact_at == NOW + timedelta(minutes=5)
    assert card.basis["entries"] == ["entry-5", "entry-2"]


def test_each_limb_and_the_patient_as_a_whole_have_their_own_card():
    told = [
        report("pop"),
        report("fever", 2, episode_id=None),
        report("pop", 3, episode_id="right"),
    ]

    assert [card.episode_id for card in stop_report(told)] == ["left", None, "right"]


def test_no_report_is_no_card():
    assert list(stop_report([])) == []


# --- a wish for contact --------------------------------------------------------------


def test_a_note_that_asks_for_contact_is_a_card_of_the_patient():
    (card,) = wishes(wishes=(report("note"),))

    assert card.key == (None, "contact_wanted")
    assert card.fact_at == NOW + timedelta(minutes=1)
    assert card.basis["what"] == ["note"]


@pytest.mark.parametrize(
    ("days", "opened"),
    [
        (["2030-03-30", "2030-03-31"], 0),
        (["2030-03-30", "2030-03-31", "2030-04-01"], 1),
        (["2030-03-19", "2030-03-31", "2030-04-01"], 1),
        (["2030-03-18", "2030-03-31", "2030-04-01"], 0),
    ],
)
def test_not_done_for_pain_three_times_in_fourteen_days_is_a_wish(days, opened):
    assert len(wishes(not_done=pain(*days))) == opened


def test_not_done_for_another_reason_is_no_wish():
    other = tuple(report(what, n) for n, what in enumerate(["ill", "swelling", "no_time", "pain"]))

    assert wishes(not_done=other) == []


def test_fewer_reports_of_pain_stay_out_of_the_basis_of_a_note():
    (card,) = wishes(wishes=(report("note", 9),), not_done=pain("2030-03-31"))

    assert card.basis["entries"] == ["entry-9"]


def test_the_fourteen_days_are_those_of_the_patient():
    # 1 April, 9:00 UTC is still 31 March in Pago Pago: 18 March is inside there.
    days = ["2030-03-18", "2030-03-30", "2030-03-31"]

    assert wishes(not_done=pain(*days)) == []
    assert len(wishes(not_done=pain(*days), zone=ZoneInfo("Pacific/Pago_Pago"))) == 1


def test_the_clinic_sets_how_often_and_how_long():
    two = pain("2030-03-30", "2030-03-31")

    assert len(wishes(replace(DEFAULTS, pain_reports=2), not_done=two)) == 1
    assert wishes(replace(DEFAULTS, pain_reports=2, pain_window_days=1), not_done=two) == []


# --- held entries ---------------------------------------------------------------------------


def test_held_entries_are_one_card_as_new_as_the_newest():
    (card,) = held_entry([report("hash_mismatch", 3), report("id_taken", 1)])

    assert card.key == (None, "held_entry")
    assert card.fact_at == NOW + timedelta(minutes=3)
    assert card.basis["what"] == ["hash_mismatch", "id_taken"]


def test_nothing_held_is_no_card():
    assert list(held_entry([])) == []
