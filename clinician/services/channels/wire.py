"""One POST to an address that was looked at first: no redirect, no body read, little time.

Written here and not left to a client library, because what is checked must be what is
called: a name that is looked up twice may answer differently the second time.
"""

import http.client
import io
import socket
import ssl
import time
from collections.abc import Callable
from dataclasses import dataclass
from queue import Empty, SimpleQueue
from threading import Thread
from urllib.parse import urlsplit

from homeprogram.calc.endpoint import is_public

SECONDS = 5  # for all of it
HEAD_MOST = 16_384  # bytes of an answer's first lines; more is never read


class NotReached(Exception):
    """Nothing went out: refused by us, or nobody there. `why` is a short code."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


class Unanswered(Exception):
    """It went out, and what became of it is not known."""


@dataclass(frozen=True, slots=True)
class Reply:
    status: int
    retry_after: str | None


def addresses_of(host: str, port: int) -> list[str]:
    """Every address the name has just now."""
    found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    return list(dict.fromkeys(str(one[4][0]) for one in found))


@dataclass(frozen=True, slots=True)
class Wire:
    """`resolve`, `dial` and `trust` are the world outside; tests bring their own."""

    public_only: bool = True
    resolve: Callable[[str, int], list[str]] = addresses_of
    dial: Callable[..., socket.socket] = socket.create_connection
    trust: Callable[[], ssl.SSLContext] = ssl.create_default_context

    def post(self, url: str, *, headers: dict[str, str], body: bytes) -> Reply:
        """Raises NotReached or Unanswered. A redirect is an answer like any other."""
        parts = urlsplit(url)
        secure = parts.scheme == "https"
        port = parts.port or (443 if secure else 80)
        ends = time.monotonic() + SECONDS
        line = self._connected(parts.hostname or "", port, secure=secure, ends=ends)
        with line:
            path = parts.path or "/"
            target = f"{path}?{parts.query}" if parts.query else path
            try:
                _say(line, parts.netloc, target, headers, body)
                return _heard(line, ends)
            except (OSError, http.client.HTTPException, ValueError):
                raise Unanswered from None

    def _connected(self, host: str, port: int, *, secure: bool, ends: float) -> socket.socket:
        """To the very address that was looked at; one that is not public refuses them all."""
        try:
            addresses = _in_time(lambda: self.resolve(host, port), ends)
        except (OSError, UnicodeError):  # the latter for a label no name can have
            raise NotReached("no_such_host") from None
        if self.public_only and not all(is_public(one) for one in addresses):
            raise NotReached("not_public")
        for address in addresses:
            try:
                line = self.dial((address, port), timeout=_left(ends))
                return self._veiled(line, host, ends) if secure else line
            except OSError:
                continue
        raise NotReached("no_connection")

    def _veiled(self, line: socket.socket, host: str, ends: float) -> socket.socket:
        line.settimeout(_left(ends))
        try:
            return self.trust().wrap_socket(line, server_hostname=host)
        except OSError:
            line.close()
            raise


def _in_time(ask: Callable[[], list[str]], ends: float) -> list[str]:
    """A system's look-up of a name takes no limit of ours; one that is late is left to itself."""
    answers: SimpleQueue = SimpleQueue()

    def asked() -> None:
        try:
            answers.put((ask(), None))
        except Exception as error:  # noqa: BLE001  raised anew by whoever waits
            answers.put(([], error))

    Thread(target=asked, daemon=True).start()
    try:
        found, error = answers.get(timeout=_left(ends))
    except Empty:
        raise TimeoutError from None
    if error:
        raise error
    return found


def _say(line: socket.socket, host: str, target: str, headers: dict, body: bytes) -> None:
    request = http.client.HTTPConnection(host)
    request.sock = line
    request.putrequest("POST", target, skip_accept_encoding=True)
    for name, value in (headers | {"Connection": "close"}).items():
        request.putheader(name, value)
    request.putheader("Content-Length", str(len(body)))
    request.endheaders(body)


def _heard(line: socket.socket, ends: float) -> Reply:
    """Status and Retry-After; a server that drips its answer gets no more time for it."""
    heard = b""
    while b"\r\n\r\n" not in heard:
        line.settimeout(_left(ends))
        part = line.recv(4096)
        heard += part
        if not part or len(heard) > HEAD_MOST:
            raise ValueError("no head")
    answer = http.client.HTTPResponse(_Read(heard))
    answer.begin()
    return Reply(answer.status, answer.getheader("Retry-After"))


class _Read:
    """What http.client takes for a socket."""

    def __init__(self, heard: bytes) -> None:
        self.heard = heard

    def makefile(self, *_: object) -> io.BytesIO:
        return io.BytesIO(self.heard)


def _left(ends: float) -> float:
    left = ends - time.monotonic()
    if left <= 0:
        raise TimeoutError
    return left
