"""Ids of the demo's simulated phone, against the example of RFC 9562."""

from random import Random
from uuid import RFC_4122

import pytest

from clinician.demo.phone import uuid7
from tests.rules.build import shared_cases


class TheseBits(Random):
    """Randomness is an argument; here it is written down."""

    def __init__(self, digits: str) -> None:
        super().__init__(0)
        self.digits = digits

    def getrandbits(self, k: int) -> int:
        assert k == 4 * len(self.digits)
        return int(self.digits, 16)


@pytest.mark.parametrize(("given", "expected"), shared_cases("uuidv7.json"))
def test_the_demo_makes_the_ids_a_phone_makes(given, expected):
    made = uuid7(given["unix_ts_ms"], TheseBits(given["random_hex"]))

    assert str(made) == expected


def test_python_knows_them_as_version_7():
    made = uuid7(1_645_557_742_000, Random(1))

    assert (made.version, made.variant) == (7, RFC_4122)


def test_ids_sort_by_the_clock():
    rng = Random(1)
    made = [uuid7(1_898_903_700_000 + n, rng) for n in range(100)]

    assert made == sorted(made)
