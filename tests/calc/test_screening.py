"""What answers allow, and what asks for another screening."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.guidance import screening_conditions
from homeprogram.calc.screening import (
    Answer,
    Outcome,
    Paused,
    gate,
    judge,
    missing_answers,
    rescreen_reasons,
)

CONDITIONS = {one.code: one for one in screening_conditions()}
ABSENT = {code: Answer(present=False) for code in CONDITIONS}
FOUND = Answer(present=True, note="Seen and weighed.")
OPINION = Answer(
    present=True, note="Agreed.", opinion_by="Dr Ama Lind", opinion_on=date(2030, 3, 1)
)
THEN = datetime(2030, 3, 4, 9, tzinfo=UTC)


def codes(grade: str, *overrides: str) -> list[str]:
    return [c.code for c in CONDITIONS.values() if c.grade == grade and c.override in overrides]


NEVER = codes("contraindication", "none")
WITH_REASON = codes("contraindication", "named_reason")
WITH_OPINION = codes("contraindication", "specialist_opinion")
PRECAUTIONS = codes("precaution", "named_reason")

any_answers = st.fixed_dictionaries(
    {code: st.sampled_from([Answer(present=False), FOUND, OPINION]) for code in CONDITIONS}
)


def judged(**found: Answer):
    return judge(ABSENT | found, CONDITIONS.values())


def named(conditions) -> list[str]:
    return [one.code for one in conditions]


def test_nothing_found_is_clear():
    assert judged().outcome == Outcome.CLEAR


@pytest.mark.parametrize("code", ["metal_implant", "epilepsy"])
def test_what_may_proceed_stays_clear(code):
    assert judged(**{code: Answer(present=True)}).outcome == Outcome.CLEAR


@pytest.mark.parametrize("code", ["active_dvt", "active_bleeding", "infection", "nerve_block"])
def test_no_reason_and_no_opinion_gets_past_these(code):
    found = judged(**{code: OPINION})

    assert (found.outcome, named(found.blocking)) == (Outcome.DO_NOT_USE, [code])


@pytest.mark.parametrize("code", ["active_implant", "malignancy"])
def test_these_wait_for_a_specialist(code):
    assert judged(**{code: FOUND}).outcome == Outcome.DO_NOT_USE
    assert judged(**{code: OPINION}).outcome == Outcome.WITH_PRECAUTIONS


@pytest.mark.parametrize("missing", ["note", "opinion_by", "opinion_on"])
def test_an_opinion_without_reason_name_or_date_opens_nothing(missing):
    parts = {"note": "Agreed.", "opinion_by": "Dr Ama Lind", "opinion_on": date(2030, 3, 1)}
    parts[missing] = None if missing == "opinion_on" else "  "

    assert judged(active_implant=Answer(present=True, **parts)).outcome == Outcome.DO_NOT_USE


@pytest.mark.parametrize("code", ["cannot_report", "radiated_skin", "broken_skin"])
def test_these_wait_for_a_named_reason(code):
    assert judged(**{code: Answer(present=True)}).outcome == Outcome.DO_NOT_USE
    found = judged(**{code: FOUND})
    assert (found.outcome, named(found.heeded)) == (Outcome.WITH_PRECAUTIONS, [code])


def test_every_condition_is_in_one_of_the_groups():
    proceed = codes("may_proceed", "none")

    groups = [NEVER, WITH_REASON, WITH_OPINION, PRECAUTIONS, proceed]
    assert sorted(code for group in groups for code in group) == sorted(CONDITIONS)
    assert all(groups)


@given(any_answers, st.sampled_from(NEVER))
def test_whatever_else_is_said_a_present_absolute_one_blocks(answers, code):
    found = judge(answers | {code: OPINION}, CONDITIONS.values())

    assert found.outcome == Outcome.DO_NOT_USE
    assert code in named(found.blocking)


@given(any_answers)
def test_the_outcome_and_what_is_named_agree(answers):
    found = judge(answers, CONDITIONS.values())

    assert (found.outcome == Outcome.DO_NOT_USE) == bool(found.blocking)
    assert (found.outcome == Outcome.WITH_PRECAUTIONS) == bool(found.heeded)
    assert all(answers[one.code].present for one in found.blocking + found.heeded)


@given(any_answers, st.sampled_from(sorted(CONDITIONS)))
def test_finding_one_more_never_eases_the_outcome(answers, code):
    order = [Outcome.CLEAR, Outcome.WITH_PRECAUTIONS, Outcome.DO_NOT_USE]
    without = judge(answers | {code: Answer(present=False)}, CONDITIONS.values())
    with_it = judge(answers | {code: FOUND}, CONDITIONS.values())

    assert order.index(with_it.outcome) >= order.index(without.outcome)


def test_every_unanswered_condition_is_named():
    missing = missing_answers({}, CONDITIONS.values())

    assert set(missing) == set(CONDITIONS)
    assert missing["epilepsy"] == "Epilepsy: answer yes or no."


@pytest.mark.parametrize(
    ("code", "answer", "sentence"),
    [
        ("pregnancy", Answer(present=True, note=" "), "Pregnancy: write what you decided and why."),
        (
            "malignancy",
            Answer(present=True, note="Asked.", opinion_by="Dr Ama Lind"),
            "Malignancy at the thigh, known or suspected: name the specialist and the date.",
        ),
        (
            "malignancy",
            Answer(present=True, note="Asked.", opinion_on=date(2030, 3, 1)),
            "Malignancy at the thigh, known or suspected: name the specialist and the date.",
        ),
    ],
)
def test_what_has_to_be_explained_first(code, answer, sentence):
    assert missing_answers(ABSENT | {code: answer}, CONDITIONS.values()) == {code: sentence}


def due(
    *pauses: Paused,
    report_at: datetime | None = None,
    told_at: datetime | None = None,
    today=date(2030, 4, 20),
) -> tuple:
    return rescreen_reasons(
        screened_at=THEN,
        screened_on=THEN.date(),
        stop_report_at=report_at,
        change_told_at=told_at,
        pauses=pauses,
        today=today,
    )


def paused(first: date, last: date | None, reason: str = "travel", told_at=THEN) -> Paused:
    return Paused(reason, told_at, first, last)


def test_a_quiet_course_asks_for_nothing():
    assert due() == ()


def test_a_stop_report_after_it_asks_for_another():
    assert due(report_at=THEN + timedelta(minutes=1)) == ("stop_report",)
    assert due(report_at=THEN - timedelta(minutes=1)) == ()


def test_a_change_told_after_it_asks_for_another():
    assert due(told_at=THEN + timedelta(minutes=1)) == ("change_told",)
    assert due(told_at=THEN - timedelta(minutes=1)) == ()


def test_a_stay_in_hospital_asks_for_another():
    short = (date(2030, 3, 10), date(2030, 3, 11), "readmission")

    assert due(paused(*short, told_at=THEN + timedelta(days=6))) == ("readmission",)
    assert due(paused(*short, told_at=THEN - timedelta(days=1))) == ()


@pytest.mark.parametrize(
    ("last", "today", "reasons"),
    [
        (date(2030, 3, 22), date(2030, 4, 1), ()),  # 13 days
        (date(2030, 3, 23), date(2030, 4, 1), ("restart",)),  # 14 days
        (None, date(2030, 3, 22), ()),
        (None, date(2030, 3, 23), ("restart",)),
        (date(2030, 5, 1), date(2030, 3, 20), ()),  # planned, not yet lived
    ],
)
def test_two_weeks_of_pause_ask_for_another(last, today, reasons):
    assert due(paused(date(2030, 3, 10), last), today=today) == reasons


def test_a_long_pause_before_it_was_known_already():
    assert due(paused(date(2030, 2, 1), date(2030, 2, 28))) == ()


@pytest.mark.parametrize(
    ("outcome", "reasons", "code"),
    [
        (None, (), "screening_missing"),
        (Outcome.DO_NOT_USE, (), "screening_do_not_use"),
        (Outcome.DO_NOT_USE, ("stop_report",), "screening_do_not_use"),
        (Outcome.CLEAR, ("stop_report", "restart"), "screening_due"),
        (Outcome.CLEAR, ("change_told",), "screening_due"),
        (Outcome.WITH_PRECAUTIONS, ("readmission", "restart"), ""),
        (Outcome.CLEAR, (), ""),
    ],
)
def test_the_gate(outcome, reasons, code):
    assert gate(outcome, reasons) == code
