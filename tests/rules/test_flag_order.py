"""All cards of a patient together: one a limb and reason, safety first on the panel."""

from datetime import UTC, date, datetime, timedelta

from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.flag_facts import (
    EvokedFact,
    LossFact,
    PadsFact,
    ProgramFact,
    ReportFact,
    Setup,
    SkinFact,
)
from homeprogram.calc.flags import REASONS, RULE_FAILED, SAFETY, wanted_cards
from tests.rules.build import DEFAULTS, MONDAY, EpisodeFacts, bout, facts, many, written_days

RECEIVED = datetime(2030, 3, 10, 8, tzinfo=UTC)


def report(what: str, episode_id: str | None = "left") -> ReportFact:
    return ReportFact(f"entry-{what}", episode_id, "2030-03-10", what, RECEIVED)


# One limb cannot be at the stimulator's limit and due for a higher dose.
SETUP = Setup("stimulator-1", ("lower_inner", "upper_outer"), 65)
LONG_RUNNING = ProgramFact(
    running=True,
    start=date(2030, 1, 7),
    revision_id="revision-1",
    planned_weeks=6,
    evoked=EvokedFact(date(2030, 3, 1), 55, ((1, 50),), SETUP),
)


def bouts_of_every_kind():
    days = [MONDAY + timedelta(days=n) for n in range(7)]
    usual = [bout(day) for day in days[:4]]
    hard = {"discomfort": 9, "pain_after": 8, "over_ceiling": True, "at_limit": True}
    too_many = [bout(day, n, **hard) for day in days[4:] for n in (1, 2)]
    calm = [bout(day, 9, episode_id="right", discomfort=1, setup=SETUP) for day in days]
    return (*usual, *too_many, *calm)


def everything(pattern: str = "MMMMMMM"):
    """A patient of whom every rule has something to say."""
    return facts(
        now=datetime(2030, 3, 14, 9, tzinfo=UTC),
        watermark=datetime(2030, 3, 9, 12, tzinfo=UTC),
        episodes=(
            EpisodeFacts("left", written_days(pattern, MONDAY)),
            EpisodeFacts("right", ()),
        ),
        skin=(SkinFact("entry-skin", "left", "2030-03-10", "after", 4, True, RECEIVED),),
        stop_reports=(report("fever"),),
        wishes=(report("note"),),
        held=(report("id_taken", None),),
        losses=(LossFact(2, RECEIVED, RECEIVED, RECEIVED),),
        changes=(report("implant", None),),
        bouts=bouts_of_every_kind(),
        pads={"left": PadsFact(wont_stick_at=RECEIVED), "right": PadsFact()},
        programs=dict.fromkeys(("left", "right"), LONG_RUNNING),
    )


def test_every_reason_can_stand_and_has_its_place_on_the_panel():
    reasons = [card.reason for card in wanted_cards(everything(), DEFAULTS)]

    assert set(reasons) == set(REASONS) - {RULE_FAILED}


def test_the_panel_puts_safety_first_then_a_wish_then_the_rest():
    assert REASONS == (
        "stop_report",
        "skin_reaction",
        "something_changed",
        "rule_failed",
        "contact_wanted",
        "knee_pain_worse",
        "discomfort_worse",
        "over_ceiling",
        "over_use",
        "missed_days",
        "under_dose",
        "intensity_below_effective",
        "pads_due",
        "lost_entries",
        "held_entry",
        "no_contact",
        "stimulator_at_limit",
        "dose_review_due",
        "strength_test_due",
        "course_review_due",
    )
    assert set(REASONS[:3]) == SAFETY


def test_a_quiet_patient_has_no_card():
    quiet = facts(episodes=(EpisodeFacts("left", written_days("DDDDDDD")),))

    assert wanted_cards(quiet, DEFAULTS) == []


def test_every_card_says_the_rule_it_follows():
    assert all(card.basis["rule"] for card in wanted_cards(everything(), DEFAULTS))


def test_no_card_is_newer_than_now():
    told = everything()

    assert max(card.fact_at for card in wanted_cards(told, DEFAULTS)) <= told.now


@many
@suppose(st.text("MDUNPOH", max_size=28), st.text("MDUNPOH", max_size=28))
def test_there_is_one_card_a_limb_and_reason(left, right):
    both = facts(
        episodes=(
            EpisodeFacts("left", written_days(left)),
            EpisodeFacts("right", written_days(right)),
        )
    )

    keys = [card.key for card in wanted_cards(both, DEFAULTS)]

    assert len(keys) == len(set(keys))


@many
@suppose(st.text("MDUNPOH", max_size=28))
def test_the_same_facts_give_the_same_cards(pattern):
    assert wanted_cards(everything(pattern), DEFAULTS) == wanted_cards(
        everything(pattern), DEFAULTS
    )
