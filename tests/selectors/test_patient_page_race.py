"""A page shows the record of one moment, whatever arrives while it is computed."""

from tests.support.races import came_of, entry_during_a_page


def test_an_entry_that_arrives_meanwhile_is_in_all_of_the_page_or_in_none(
    django_db_setup, django_db_blocker, tmp_path
):
    told = came_of(entry_during_a_page, tmp_path, django_db_blocker)

    assert told["during"] == {"chart": 1, "calendar": 1, "entries": 1}
    assert told["after"] == {"chart": 2, "calendar": 2, "entries": 2}
