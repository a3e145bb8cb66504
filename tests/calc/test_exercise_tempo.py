import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.exercise_tempo import (
    Tempo,
    spare_s,
    tempo_fits,
    tempo_message,
    with_tempo,
)
from homeprogram.calc.exercises import for_phone, with_origin

seconds = st.floats(0, 20)


def test_three_three_three_fits_ten_seconds():
    # Common practice, no source.
    assert tempo_fits(Tempo(3, 3, 3), on_s=10)
    assert tempo_message(Tempo(3, 3, 3), on_s=10) == ("3-3-3 takes 9 s and fits the 10 s on time.")


def test_four_four_four_does_not_and_says_by_how_much():
    assert not tempo_fits(Tempo(4, 4, 4), on_s=10)
    assert "2 s would be without current" in tempo_message(Tempo(4, 4, 4), on_s=10)


def test_exactly_the_on_time_fits():
    assert tempo_fits(Tempo(3, 4, 3), on_s=10)


@given(seconds, seconds, seconds, seconds)
def test_a_longer_on_time_spares_as_much_more(lift, hold, lower, on_s):
    tempo = Tempo(lift, hold, lower)

    assert spare_s(tempo, on_s=on_s + 5) == pytest.approx(spare_s(tempo, on_s=on_s) + 5)


@pytest.mark.parametrize(
    ("how", "tempo", "ours"),
    [
        ("", [3, 3, 3], True),
        ("", None, True),
        ("My own words.", [3, 3, 3], False),
    ],
)
def test_our_words_stay_ours_when_the_tempo_is_said_behind_them(how, tempo, ours):
    kept = for_phone("long_kick", how)
    kept["how"] = with_tempo(kept["how"], Tempo(*tempo) if tempo else None)

    told = with_origin(kept, tempo)

    assert told["ours"] is ours
    assert told.get("tempo") == (tempo and {"lift_s": 3, "hold_s": 3, "lower_s": 3})
