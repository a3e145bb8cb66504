"""One stimulator, one borrower; nothing goes out unchecked, in quarantine or uncleaned."""

from datetime import date, timedelta

import pytest

from clinician.models import Stimulator
from clinician.selectors.lending import lending_list, open_loans
from clinician.services.lending import loan_open, loan_return, stimulator_act
from homeprogram.errors import RuleBroken
from tests.support.desk import make_loan, make_own

DAY = timedelta(days=1)


@pytest.fixture
def own(clinician, now) -> Stimulator:
    return make_own(clinician, now)


def refusal(act) -> RuleBroken:
    with pytest.raises(RuleBroken) as refused:
        act()
    return refused.value


def test_what_is_lent_stands_with_its_patient_until_it_is_back(patient, clinician, own, now):
    loan = make_loan(patient, clinician, now, own)
    before = open_loans(patient=patient)

    loan_return(loan=loan, by=clinician, now=now + DAY)

    assert before == [loan]
    assert open_loans(patient=patient) == []


def test_a_lent_one_is_not_lent_again(patient, clinician, own, now):
    make_loan(patient, clinician, now, own)

    refused = refusal(lambda: make_loan(patient, clinician, now, own))

    assert refused.code == "already_lent"
    assert len(open_loans(patient=patient)) == 1


def test_a_loan_ends_once(patient, clinician, lead, own, now):
    loan = make_loan(patient, clinician, now, own)
    loan_return(loan=loan, by=clinician, now=now, note="complete")

    refused = refusal(lambda: loan_return(loan=loan, by=lead, now=now + DAY))

    loan.refresh_from_db()
    assert refused.code == "already_returned"
    assert (loan.returned_to, loan.return_note) == (clinician, "complete")


def quarantine(own, clinician, now) -> None:
    stimulator_act(
        stimulator=own, by=clinician, act="quarantined", on=now.date(), note="cuts out", now=now
    )


def test_quarantine_keeps_it_in_the_store_until_its_release(patient, clinician, own, now):
    quarantine(own, clinician, now)

    refused = refusal(lambda: make_loan(patient, clinician, now, own))
    stimulator_act(
        stimulator=own, by=clinician, act="released", on=now.date(), note="new lead", now=now
    )

    assert "in quarantine (cuts out). Have it released first." in refused.message
    assert "ask a lead" in refused.message
    assert make_loan(patient, clinician, now, own)


@pytest.mark.parametrize(
    ("check", "said"),
    [
        ({"checked_on": None, "check_due_on": None}, "No safety check is written down."),
        ({"check_due_on": date(2030, 3, 5)}, "Its safety check was due on Tue 5 Mar 2030."),
    ],
)
def test_without_a_check_in_force_it_stays(patient, clinician, now, check, said):
    own = make_own(clinician, now, **check)

    refused = refusal(lambda: make_loan(patient, clinician, now + 2 * DAY, own))

    assert refused.code == "not_fit_to_lend"
    assert said in refused.message


def test_on_the_day_its_check_is_due_it_still_goes_out(patient, clinician, now):
    own = make_own(clinician, now, check_due_on=now.date() + DAY)

    assert make_loan(patient, clinician, now + DAY, own)


def test_a_lead_may_lend_it_all_the_same_and_says_why(patient, clinician, lead, own, now):
    quarantine(own, clinician, now)
    why = {"override_reason": "no other one this week"}

    by_no_lead = refusal(lambda: make_loan(patient, clinician, now, own, **why))
    without_reason = refusal(lambda: make_loan(patient, lead, now, own))
    loan = make_loan(patient, lead, now, own, **why)

    assert by_no_lead.code == without_reason.code == "not_fit_to_lend"
    assert "say why" in without_reason.message
    assert loan.override_reason == "no other one this week"


def test_nobody_lends_what_is_out_of_use(patient, lead, own, now):
    stimulator_act(stimulator=own, by=lead, act="retired", on=now.date(), now=now)

    refused = refusal(lambda: make_loan(patient, lead, now, own, override_reason="please"))

    assert refused.code == "out_of_use"


def test_what_came_back_is_cleaned_before_it_goes_out(patient, clinician, own, now):
    loan_return(loan=make_loan(patient, clinician, now, own), by=clinician, now=now + DAY)

    refused = refusal(lambda: make_loan(patient, clinician, now + DAY, own))

    assert refused.fields.keys() == {"cleaned"}
    assert make_loan(patient, clinician, now + DAY, own, cleaned=True)


def test_a_cleaning_before_it_came_back_does_not_count(patient, clinician, own, now):
    loan_return(loan=make_loan(patient, clinician, now, own), by=clinician, now=now + 2 * DAY)
    later = now + 3 * DAY

    stimulator_act(stimulator=own, by=clinician, act="cleaned", on=now.date(), now=later)
    refused = refusal(lambda: make_loan(patient, clinician, later, own))
    back_on = (now + 2 * DAY).date()
    stimulator_act(stimulator=own, by=clinician, act="cleaned", on=back_on, now=later)

    assert refused.code == "not_cleaned"
    assert make_loan(patient, clinician, later, own)


def test_an_older_check_written_down_late_puts_no_newer_one_back(clinician, own, now):
    own.refresh_from_db()
    due = own.check_due_on
    before = own.checked_on - DAY

    stimulator_act(
        stimulator=own, by=clinician, act="checked", on=before, due_on=before + DAY, now=now
    )

    own.refresh_from_db()
    assert own.check_due_on == due


def test_what_comes_back_broken_goes_into_quarantine(patient, clinician, own, now):
    loan = make_loan(patient, clinician, now, own)

    loan_return(loan=loan, by=clinician, now=now + DAY, cleaned=True, quarantine="cracked case")

    own.refresh_from_db()
    assert own.quarantine_reason == "cracked case"
    assert [event.act for event in own.events.order_by("at", "act")] == [
        "checked",
        "cleaned",
        "quarantined",
    ]


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"act": "checked"}, "check_due_missing"),
        ({"act": "quarantined", "note": " "}, "reason_missing"),
        ({"act": "released", "note": "all well"}, "not_in_quarantine"),
        ({"act": "cleaned", "on": date(2030, 3, 5)}, "day_to_come"),
    ],
)
def test_a_senseless_act_is_refused(own, clinician, now, said, code):
    usual = {"stimulator": own, "by": clinician, "on": now.date(), "now": now}

    assert refusal(lambda: stimulator_act(**usual | said)).code == code


def test_a_lent_one_is_not_taken_out_of_use(patient, clinician, own, now):
    make_loan(patient, clinician, now, own)

    refused = refusal(
        lambda: stimulator_act(stimulator=own, by=clinician, act="retired", on=now.date(), now=now)
    )

    assert refused.code == "still_lent"


def test_an_asset_number_is_the_clinics_once(clinician, outsider, own, now):
    refused = refusal(lambda: make_own(clinician, now, own.asset_number))

    assert refused.code == "asset_number_taken"
    assert make_own(outsider, now, own.asset_number)


def test_the_list_begins_with_what_wants_a_hand(patient, clinician, now):
    day = now.date()
    make_own(clinician, now, "A store")
    make_own(clinician, now, "B unchecked", checked_on=None)
    make_loan(patient, clinician, now, make_own(clinician, now, "C lent"))
    quarantine(make_own(clinician, now, "D quarantine"), clinician, now)
    late = make_own(clinician, now, "E late")
    loan_open(stimulator=late, patient=patient, by=clinician, due_back_on=day + DAY, now=now)

    lines = lending_list(clinic=clinician.clinic, now=now + 2 * DAY)

    assert [line.asset_number[0] for line in lines] == ["E", "D", "B", "C", "A"]
    assert lines[0].word == "not back in time"
