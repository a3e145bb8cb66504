"""Where a reminder may be sent: an address that a browser gave us is not to be trusted.

Whoever names an address for us to call could make us call our own network (server-side
request forgery). So its form is checked when it is given, and what its name stands for
every time before it is called.
"""

import re
from collections.abc import Collection
from ipaddress import IPv4Address, IPv6Address, IPv6Network, ip_address
from urllib.parse import urlsplit

LENGTH_MOST = 2000  # characters; those of today's services have 150 to 700 (from memory)
PLAIN = re.compile(r"[!-\[\]-~]+")  # printable ASCII without blank and backslash
HTTPS = 443
# An IPv4 address behind a translator, RFC 6052.
TRANSLATED = IPv6Network("64:ff9b::/96")


def host_fits(host: str, patterns: Collection[str]) -> bool:
    """`push.example` is that host alone, `*.push.example` every host below it."""
    return any(
        host.endswith(pattern[1:]) if pattern.startswith("*.") else host == pattern
        for pattern in patterns
    )


def endpoint_fault(endpoint: str, patterns: Collection[str]) -> str | None:
    """Why this is no address of a push service; None when it is one."""
    if len(endpoint) > LENGTH_MOST or not PLAIN.fullmatch(endpoint):
        return "form"
    try:
        parts = urlsplit(endpoint)
        port = parts.port
    except ValueError:
        return "form"
    if parts.scheme != "https":
        return "scheme"
    if "@" in parts.netloc:
        return "userinfo"
    if port not in {None, HTTPS}:
        return "port"
    if parts.fragment or not host_fits(parts.hostname or "", patterns):
        return "host"
    return None


def gateway_fault(url: str) -> str | None:
    """Why the operator's own gateway is not used: secrets go to it, so https or this machine."""
    parts = urlsplit(url)
    if parts.scheme == "https" and parts.hostname and "@" not in parts.netloc:
        return None
    if parts.scheme == "http" and parts.hostname in {"localhost", "127.0.0.1", "::1"}:
        return None
    return "form"


def is_public(address: str) -> bool:
    """Whether it is a host on the open internet, whatever form hides another address."""
    try:
        found = ip_address(address)
    except ValueError:
        return False
    hidden = _hidden(found)
    if hidden is not None:
        return is_public(str(hidden))
    special = (
        found.is_private,
        found.is_loopback,
        found.is_link_local,
        found.is_multicast,
        found.is_reserved,
        found.is_unspecified,
        not found.is_global,
    )
    return not any(special)


def _hidden(address: IPv4Address | IPv6Address) -> IPv4Address | None:
    """The IPv4 address that an IPv6 one leads to: mapped, 6to4 or translated."""
    if isinstance(address, IPv4Address):
        return None
    if address in TRANSLATED:
        return IPv4Address(int(address) & 0xFFFFFFFF)
    return address.ipv4_mapped or address.sixtofour
