"""What entries say now: corrections and withdrawals, in whatever order they came."""

import copy

import pytest
from hypothesis import given as suppose
from hypothesis import strategies as st

from homeprogram.calc.readings import Dose, Logged, day_counts, readings
from tests.entries import BOUT, skin
from tests.rules.build import many
from tests.rules.log import bout, correction, entry, withdrawal

DOSES = {"revision-1": Dose(15, {1: 30}, {1: 60})}


def contractions(*entries: Logged) -> list[int]:
    """What stands of each bout, in the order given."""
    return [reading.payload["contractions"] for reading in readings(entries)]


def test_an_entry_nobody_amended_says_what_it_said():
    first = bout()

    (reading,) = readings([first])

    assert reading.original is first
    assert reading.payload == BOUT
    assert not reading.corrected


def test_a_correction_counts_and_the_original_stays_beside_it():
    first = bout(contractions=10)

    (reading,) = readings([first, correction("c", of="bout", contractions=15)])

    assert reading.payload["contractions"] == 15
    assert reading.original.payload["contractions"] == 10
    assert reading.corrected


def test_a_correction_that_came_first_waits_for_its_target():
    early = correction("c", of="bout", contractions=15)

    assert contractions(early) == []
    assert contractions(early, bout(contractions=10)) == [15]


def test_of_two_corrections_of_one_phone_the_later_counts():
    first = correction("c", of="bout", number=2, contractions=12)
    second = correction("d", of="bout", number=3, contractions=13)

    assert contractions(second, bout(), first) == [13]


def test_a_correction_of_a_correction_counts_though_its_number_is_lower():
    # Written on a second phone, which has used fewer numbers; it saw the first one.
    first = correction("c", of="bout", number=50, contractions=12)
    second = correction("d", of="c", number=3, contractions=13)

    assert contractions(bout(), first, second) == [13]


def test_after_a_chain_a_later_correction_of_the_original_counts():
    chain = [correction("c", of="bout", number=2), correction("d", of="c", number=3)]

    assert contractions(bout(), *chain, correction("e", of="bout", number=4, contractions=9)) == [9]


def test_two_phones_with_the_same_number_are_told_apart_by_id():
    one = correction("c", of="bout", number=2, contractions=12)
    other = correction("d", of="bout", number=2, contractions=13)

    assert contractions(bout(), one, other) == contractions(bout(), other, one) == [13]


@pytest.mark.parametrize("of", ["bout", "c"])
def test_a_withdrawal_takes_the_fact_out_whatever_was_corrected(of):
    entries = [bout(), correction("c", of="bout", number=2), withdrawal("w", of=of, number=3)]

    assert contractions(*entries) == []


def test_a_withdrawal_stands_against_a_later_correction():
    late = correction("c", of="bout", number=9)

    assert contractions(bout(), withdrawal("w", of="bout"), late) == []


def test_an_amendment_touches_only_its_own_target():
    other = bout("other", number=2, contractions=7)

    assert contractions(bout(), other, withdrawal("w", of="bout", number=3)) == [7]


def test_a_correction_that_does_not_fit_its_target_is_passed_over():
    fitting = correction("c", of="bout", number=2, contractions=12)
    unfit = entry("d", "correction", {"of": "bout", "payload": {}, "reason": "Slip"}, number=3)

    assert contractions(bout(), fitting, unfit) == [12]


def test_a_correction_that_corrects_one_that_does_not_fit_counts():
    unfit = entry("c", "correction", {"of": "bout", "payload": {}, "reason": "Slip"}, number=2)

    assert contractions(bout(), unfit, correction("d", of="c", number=3, contractions=14)) == [14]


@pytest.mark.parametrize(
    "circle",
    [
        [correction("c", of="c")],
        [correction("c", of="d"), correction("d", of="c")],
        [withdrawal("c", of="d"), withdrawal("d", of="c")],
    ],
)
def test_amendments_that_name_each_other_amend_nothing(circle):
    assert contractions(bout(), *circle) == [15]


# --- whatever the order -------------------------------------------------------------

SAID = st.sampled_from(
    [{"contractions": 12}, {"contractions": 9, "minutes": 9.1}, {"minutes": 0.1}, {"minutes": 0.7}]
)
facts = st.one_of(
    st.tuples(st.just("bout"), SAID.map(lambda said: BOUT | said)),
    st.tuples(st.just("not_done"), st.just({"ordinal": 1, "reason": "pain"})),
    st.tuples(st.just("skin_check"), st.just(skin("before", colour="slight", pattern="even"))),
)
amendments = st.tuples(
    st.sampled_from(["correction", "withdrawal"] + 4 * ["correction"]),
    st.integers(0, 9),  # which entry it names; one that is not there is a target still to come
    st.one_of(SAID.map(lambda said: BOUT | said), st.just(skin("before")), st.just({})),
)


@st.composite
def logs(draw) -> list[Logged]:
    """Facts and amendments of two phones; an amendment may name any other entry."""
    told = draw(st.lists(facts, min_size=1, max_size=4))
    amending = draw(st.lists(amendments, max_size=6))
    phones = draw(st.lists(st.booleans(), min_size=10, max_size=10))
    payloads = [
        *told,
        *(
            (
                kind,
                {"of": f"e{target}", "reason": "Slip"}
                | ({"payload": payload} if kind == "correction" else {}),
            )
            for kind, target, payload in amending
        ),
    ]
    return [
        entry(f"e{n}", kind, payload, number=1 + phones[:n].count(phones[n]))
        for n, (kind, payload) in enumerate(payloads)
    ]


def told(entries: list[Logged]) -> dict:
    return {reading.original.id: reading.payload for reading in readings(entries)}


@many
@suppose(st.data())
def test_any_order_of_arrival_gives_the_same_readings_and_counts(data):
    entries = data.draw(logs())
    shuffled = data.draw(st.permutations(entries))

    assert told(shuffled) == told(entries)
    assert day_counts(readings(shuffled), DOSES) == day_counts(readings(entries), DOSES)


@many
@suppose(logs())
def test_reading_changes_no_entry(entries):
    before = copy.deepcopy(entries)

    stand = readings(entries)

    assert entries == before
    assert [reading.original for reading in stand] == [e for e in before if e.id in told(entries)]


def reached_by_withdrawals(entries: list[Logged]) -> set[str]:
    """Followed target by target, as far as a chain can go."""
    target_of = {e.id: e.of for e in entries}
    reached = {e.of for e in entries if e.kind == "withdrawal"}
    for _ in entries:
        reached |= {target_of.get(name) for name in reached}
    return reached


@many
@suppose(logs())
def test_every_fact_stands_unless_a_withdrawal_reaches_it(entries):
    facts_written = {e.id for e in entries if e.of is None}

    assert set(told(entries)) == facts_written - reached_by_withdrawals(entries)
