from homeprogram.calc.findings import against_family
from homeprogram.calc.own_family import own_family


def family(**values):
    return own_family(code="7", name="Ours", source="Agreed, 2030", values=values)


def test_a_figure_alone_is_its_own_range():
    rest = family(off_s=20).range_of("off_s")

    assert (rest.low, rest.high, rest.unit) == (20, 20, "s")
    assert rest.source.text == "Agreed, 2030"


def test_a_range_may_widen_it():
    rest = family(off_s=20, ranges={"off_s": [15, 25]}).range_of("off_s")

    assert (rest.low, rest.high) == (15, 25)


def test_names_that_are_no_figures_are_left_out():
    found = family(off_s=20, colour="green", ranges={"mood": [1, 2]})

    assert [r.figure for r in found.ranges] == ["off_s"]


def test_its_own_name_and_source_cannot_be_overwritten():
    found = family(name="Theirs", mark="read", source="A journal")

    assert (found.name, found.mark, found.source.text) == ("Ours", "clinic", "Agreed, 2030")


def test_leaving_it_is_outside_and_says_whose_it_is():
    rest = family(off_s=20).range_of("off_s")

    found = against_family(50, rest, whose="the family 'Ours'")

    assert (found.level, found.mark) == ("outside", "clinic")
    assert found.message == "Rest 50 s: longer than the 20 s of the family 'Ours'."
