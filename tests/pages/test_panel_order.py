"""The panel's order is total, the same for everybody, and safety is never outranked."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

from hypothesis import given as suppose
from hypothesis import strategies as st

from clinician.selectors.order import EXPLAINED, RANKS, SORTS, Course, Standing, key_of, panel_key
from clinician.selectors.panel import GROUP_OF
from tests.rules.build import some

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
courses = st.builds(Course, st.just("conservative"), st.integers(-3, 60))
standings = st.builds(
    Standing,
    id=st.uuids(),
    flags=st.lists(st.tuples(st.sampled_from(GRAVEST_FIRST), moments), max_size=4).map(tuple),
    held=st.booleans(),
    reviewed_at=st.none() | moments,
    heard_at=st.none() | moments,
    name=st.sampled_from(["", "Ada", "ada", "Åke", "Zoë"]),
    courses=st.lists(
        st.builds(Course, st.just("conservative"), st.integers(-3, 60)), max_size=2
    ).map(tuple),
)
sorts = st.sampled_from(["", *SORTS])
panels = st.lists(standings, max_size=12, unique_by=lambda one: one.id)


def ids(panel, sort=""):
    return [one.id for one in sorted(panel, key=key_of(sort))]


@some
@suppose(panels, st.randoms(), sorts)
def test_the_order_does_not_depend_on_how_rows_arrive(panel, random, sort):
    shuffled = list(panel)
    random.shuffle(shuffled)

    assert ids(shuffled, sort) == ids(panel, sort)


@some
@suppose(standings, standings, sorts)
def test_any_two_patients_have_an_order(one, other, sort):
    key = key_of(sort)
    if one.id != other.id:
        assert (key(one) < key(other)) != (key(other) < key(one))


@some
@suppose(panels, standings, sorts)
def test_a_patient_more_moves_no_other_past_another(panel, one, sort):
    without = [id_ for id_ in ids([*panel, one], sort) if id_ != one.id]

    assert without == [id_ for id_ in ids(panel, sort) if id_ != one.id]


@some
@suppose(panels, sorts)
def test_nobody_with_a_safety_flag_stands_below_one_without(panel, sort):
    safety = {"stop_report", "skin_reaction"}
    ranked = [
        bool(safety & {reason for reason, _ in one.flags})
        for one in sorted(panel, key=key_of(sort))
    ]

    assert ranked == sorted(ranked, reverse=True)


def test_every_reason_has_a_heading_and_the_line_names_the_headings_in_order():
    headings = list(dict.fromkeys(GROUP_OF[reason][0] for reason in RANKS))
    named = ["safety", "look", "contact", "pain", "dose", "pads", "reviews", "hold"]

    assert headings == ["safety", "look", "contact", "felt", "dose", "data", "review", "hold"]
    assert [EXPLAINED.index(word) for word in named] == sorted(map(EXPLAINED.index, named))


@some
@suppose(panels)
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
