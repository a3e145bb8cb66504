"""Behind proxies of ours the address they saw counts; nobody can write one themselves."""

import pytest
from django.test import RequestFactory

from homeprogram.api.credential import client_address

PROXY = "10.9.9.9"


@pytest.mark.parametrize(
    ("proxies", "forwarded", "address"),
    [
        (0, "", PROXY),
        (0, "203.0.113.7", PROXY),  # nobody in front of us: the header is the client's own
        (1, "203.0.113.7", "203.0.113.7"),
        (1, "198.51.100.1, 203.0.113.7", "203.0.113.7"),  # the first one was made up
        (2, "198.51.100.1, 203.0.113.7, 10.1.1.1", "203.0.113.7"),
        (2, "203.0.113.7", PROXY),
        (1, "", PROXY),
    ],
)
def test_the_address_is_the_one_our_proxies_saw(settings, proxies, forwarded, address):
    settings.TRUSTED_PROXIES = proxies
    headers = {"X-Forwarded-For": forwarded} if forwarded else {}

    request = RequestFactory().get("/", REMOTE_ADDR=PROXY, headers=headers)

    assert client_address(request) == address
