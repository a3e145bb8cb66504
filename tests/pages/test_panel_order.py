"""The panel's order is total, the same for everybody, and safety is never outranked."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

from hypothesis import given
from hypothesis import strategies as st

from clinician.selectors.order import Standing, panel_key

GRAVEST_FIRST = [
    "stop_report",
    "skin_reaction",
    "contact_wanted",
    "missed_days",
    "under_dose",
    "lost_entries",
    "held_entry",
    "no_contact",
]
START = datetime(2030, 1, 1, tzinfo=UTC)
moments = st.integers(0, 50).map(lambda hours: START + timedelta(hours=hours))
standings = st.builds(
    Standing,
    id=st.uuids(),
    flags=st.lists(st.tuples(st.sampled_from(GRAVEST_FIRST), moments), max_size=4).map(tuple),
    held=st.booleans(),
    reviewed_at=st.none() | moments,
    heard_at=st.none() | moments,
)
panels = st.lists(standings, max_size=12, unique_by=lambda one: one.id)


def ids(panel):
    return [one.id for one in sorted(panel, key=panel_key)]


@given(panels, st.randoms())
def test_the_order_does_not_depend_on_how_rows_arrive(panel, random):
    shuffled = list(panel)
    random.shuffle(shuffled)

    assert ids(shuffled) == ids(panel)


@given(standings, standings)
def test_any_two_patients_have_an_order(one, other):
    if one.id != other.id:
        assert (panel_key(one) < panel_key(other)) != (panel_key(other) < panel_key(one))


@given(panels)
def test_nobody_with_a_safety_flag_stands_below_one_without(panel):
    safety = {"stop_report", "skin_reaction"}
    ranked = [
        bool(safety & {reason for reason, _ in one.flags}) for one in sorted(panel, key=panel_key)
    ]

    assert ranked == sorted(ranked, reverse=True)


@given(panels)
def test_a_hold_stands_above_the_quiet_rows(panel):
    quiet = [not one.flags and not one.held for one in sorted(panel, key=panel_key)]

    assert quiet == sorted(quiet)


def plain(number: int, *reasons: str, **facts) -> Standing:
    flags = tuple((reason, START) for reason in reasons)
    values = {"held": False, "reviewed_at": None, "heard_at": None} | facts
    return Standing(id=UUID(int=number), flags=flags, **values)


def test_reasons_rank_as_documented():
    panel = [plain(i, reason) for i, reason in enumerate(reversed(GRAVEST_FIRST))]

    ranked = [one.flags[0][0] for one in sorted(panel, key=panel_key)]

    assert ranked == GRAVEST_FIRST


def test_the_gravest_reason_of_a_patient_counts():
    both = plain(2, "no_contact", "skin_reaction")
    one = plain(1, "contact_wanted")

    assert sorted([one, both], key=panel_key) == [both, one]


def test_among_equals_the_flag_open_longest_is_first():
    old = Standing(plain(2).id, (("missed_days", START),), False, None, None)
    new = Standing(plain(1).id, (("missed_days", START + timedelta(days=1)),), False, None, None)

    assert sorted([new, old], key=panel_key) == [old, new]


def test_quiet_rows_stand_by_longest_since_review_then_contact_then_id():
    never = plain(9)
    long_ago = plain(8, reviewed_at=START, heard_at=START + timedelta(hours=9))
    same_unheard = plain(7, reviewed_at=START, heard_at=START)
    same_twin = plain(6, reviewed_at=START, heard_at=START)

    ranked = sorted([long_ago, same_unheard, never, same_twin], key=panel_key)

    assert ranked == [never, same_twin, same_unheard, long_ago]


def test_a_reason_nobody_has_ranked_yet_stands_with_safety():
    unknown = plain(2, "something_new")
    known = plain(1, "skin_reaction")

    assert min(known, unknown, key=panel_key) == unknown
