"""What several tests of the services begin with."""

from datetime import UTC, datetime

import pytest

from tests.support.pushes import push_at


@pytest.fixture
def after_two_missed_days(phone, revision, now):
    """Due from 5 March, nothing logged, and a claim after the 6th was closed."""
    push_at(phone, now, have=[revision.id], claim=True)
    later = datetime(2030, 3, 7, 13, tzinfo=UTC)
    push_at(phone, later, claim=True)
    return later
