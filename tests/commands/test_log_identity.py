"""The log's identity is printed, and drawn anew only when asked."""

from io import StringIO

from django.core.management import call_command

from homeprogram.selectors.record import log_identity


def said(*options: str) -> str:
    out = StringIO()
    call_command("log_identity", *options, stdout=out)
    return out.getvalue()


def test_the_identity_is_printed_and_stays(db):
    before = log_identity()

    assert said().strip() == str(before)
    assert log_identity() == before


def test_a_new_identity_is_drawn_when_asked(db):
    before = log_identity()

    told = said("--new")

    assert log_identity() != before
    assert told.startswith(str(log_identity()))


def test_a_new_identity_tells_how_many_phones_will_offer_again(phone):
    assert "1 phones will" in said("--new")
