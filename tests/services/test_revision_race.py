"""Revisions saved while a phone pushes: neither loses anything, on real connections."""

from tests.support.races import ROUNDS, came_of, revisions_during_pushes


def test_revisions_and_pushes_at_once_lose_nothing(django_db_setup, django_db_blocker, tmp_path):
    told = came_of(revisions_during_pushes, tmp_path, django_db_blocker)

    assert told["said"] == ["added", "stored"]
    assert told["numbers"] == list(range(1, ROUNDS + 2))
    # What the patient did counts for the revision they had, and no other came to the phone.
    assert told["bouts_of"] == [1] * ROUNDS
    assert told["counted"] == ROUNDS
    assert told["on_phone"] == [1]
    assert told["versions"] == list(range(1, told["newest"] + 1))
