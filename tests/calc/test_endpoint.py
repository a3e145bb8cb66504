"""Which addresses a phone may name as its push service, and which hosts are on the internet."""

import ipaddress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeprogram.calc.endpoint import LENGTH_MOST, endpoint_fault, gateway_fault, is_public

HOSTS = ("push.example", "*.services.example")


@pytest.mark.parametrize(
    "endpoint",
    [
        "https://push.example/send/abc",
        "https://push.example:443/send/abc?x=1",
        "https://PUSH.example/send",
        "https://eu.services.example/w/1",
        "https://a.b.services.example/w/1",
    ],
)
def test_an_address_of_a_push_service_is_taken(endpoint):
    assert endpoint_fault(endpoint, HOSTS) is None


@pytest.mark.parametrize(
    ("endpoint", "fault"),
    [
        ("http://push.example/send", "scheme"),
        ("ftp://push.example/send", "scheme"),
        ("//push.example/send", "scheme"),
        ("javascript:alert(1)", "scheme"),
        ("https://me@push.example/send", "userinfo"),
        ("https://push.example:x@10.0.0.1/", "userinfo"),
        ("https://push.example@10.0.0.1/", "userinfo"),
        ("https://push.example:8443/send", "port"),
        ("https://push.example:80/send", "port"),
        ("https://push.example:0/send", "port"),
        ("https://push.example:99999/send", "form"),
        ("https://push.example.evil.example/send", "host"),
        ("https://evilpush.example/send", "host"),
        ("https://services.example/send", "host"),
        ("https://evilservices.example/send", "host"),
        ("https://push.example./send", "host"),
        ("https://push.example/send#part", "host"),
        ("https://127.0.0.1/send", "host"),
        ("https://2130706433/send", "host"),
        ("https://0x7f.1/send", "host"),
        ("https://[::1]/send", "host"),
        ("https://[::ffff:127.0.0.1]/send", "host"),
        ("https://[::1", "form"),
        ("https:///send", "host"),
        ("https://push.example\\@10.0.0.1/", "form"),
        ("https://push.example/a b", "form"),
        ("https://push.example/a\r\nHost: x", "form"),
        ("https://push.example/\x00", "form"),
        ("https://pu\u017fh.example/send", "form"),
        ("https://push\u3002example/send", "form"),
        ("", "form"),
        ("https://push.example/" + "a" * LENGTH_MOST, "form"),
    ],
)
def test_any_other_address_is_refused(endpoint, fault):
    assert endpoint_fault(endpoint, HOSTS) == fault


@given(st.text(max_size=60))
def test_no_text_breaks_the_check(text):
    assert endpoint_fault(f"https://{text}", HOSTS) in {None, "form", "host", "port", "userinfo"}


# The IANA registries of special-purpose addresses (RFC 6890), the blocks in full.
INNER = [
    "0.0.0.0/8",
    "10.0.0.0/8",
    "100.64.0.0/10",
    "127.0.0.0/8",
    "169.254.0.0/16",
    "172.16.0.0/12",
    "192.0.2.0/24",
    "192.168.0.0/16",
    "198.18.0.0/15",
    "198.51.100.0/24",
    "203.0.113.0/24",
    "224.0.0.0/4",
    "240.0.0.0/4",
    "::/128",
    "::1/128",
    "100::/64",
    "2001:db8::/32",
    "fc00::/7",
    "fe80::/10",
    "ff00::/8",
]


@given(st.data())
def test_no_address_of_a_special_block_is_public_in_any_of_its_forms(data):
    block = ipaddress.ip_network(data.draw(st.sampled_from(INNER)))
    at = data.draw(st.integers(0, block.num_addresses - 1))
    address = block[at]
    forms = [str(address), address.exploded]
    if address.version == 4:
        number = int(address)
        forms += [f"::ffff:{address}", f"64:ff9b::{address}"]
        forms.append(str(ipaddress.IPv6Address((0x2002 << 112) | (number << 80))))

    assert [one for one in forms if is_public(one)] == []


@pytest.mark.parametrize("address", ["8.8.8.8", "198.41.0.4", "2606:4700:4700::1111"])
def test_a_host_on_the_internet_is_public(address):
    assert is_public(address)
    assert not is_public(address + " ")


@pytest.mark.parametrize(
    "url", ["https://gateway.example/send", "http://127.0.0.1:9000/x", "http://localhost/x"]
)
def test_a_gateway_is_called_safely_or_on_this_machine(url):
    assert gateway_fault(url) is None


@pytest.mark.parametrize(
    "url", ["http://gateway.example/send", "https://me:pw@gateway.example/", "gateway.example", ""]
)
def test_no_secret_goes_to_a_gateway_in_the_clear(url):
    assert gateway_fault(url) == "form"
