"""A proxy on loopback that does to a push what networks do; everything else passes through.

One request a connection, read whole before it goes on. `fault` holds for each
push until it is changed; `replies` are what the server said to the last one.
"""

import socket
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass

PUSH = b"POST /api/v1/sync/push/"
TIMEOUT_S = 30


@dataclass(frozen=True)
class Fault:
    cut_request_at: int | None = None  # the server gets so many bytes of it
    cut_reply_at: int | None = None  # the phone gets so many bytes of it
    delay_s: float = 0  # the reply is held back
    times: int = 1  # the request is sent so often ...
    in_parallel: bool = False  # ... one after the other, or all at once
    answer: bytes | None = None  # said by the proxy itself; the server hears nothing


NONE = Fault()


class FaultProxy:
    def __init__(self, server_port: int) -> None:
        self.server_port = server_port
        self.fault = NONE
        self.replies: list[bytes] = []
        self._listener = socket.create_server(("127.0.0.1", 0), backlog=256)
        self.port = self._listener.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        threading.Thread(target=self._serve, daemon=True).start()

    def __enter__(self) -> "FaultProxy":
        return self

    def __exit__(self, *_: object) -> None:
        # Wakes the thread that waits in accept, which a close alone does not.
        with suppress(OSError):
            self._listener.shutdown(socket.SHUT_RDWR)
        self._listener.close()

    def _serve(self) -> None:
        while True:
            try:
                phone, _ = self._listener.accept()
            except OSError:
                return
            threading.Thread(target=self._carry, args=(phone,), daemon=True).start()

    def _carry(self, phone: socket.socket) -> None:
        with phone, suppress(OSError):
            phone.settimeout(TIMEOUT_S)
            request = _whole(phone)
            if request.startswith(PUSH):
                reply = self._faulty(request, self.fault)
            else:
                reply = self._ask(request)
            phone.sendall(reply)

    def _faulty(self, request: bytes, fault: Fault) -> bytes:
        """What the phone gets to read."""
        if fault.answer is not None:
            return fault.answer
        # A cut request has no reply: the line is closed on both sides.
        sent = request[: fault.cut_request_at]
        whole = len(sent) == len(request)
        if fault.in_parallel:
            with ThreadPoolExecutor(fault.times) as pool:
                replies = list(pool.map(self._ask, [sent] * fault.times))
        else:
            replies = [self._ask(sent, listen=whole) for _ in range(fault.times)]
        self.replies = replies
        time.sleep(fault.delay_s)
        # Its own: meanwhile another push may have left its replies for the test to see.
        return replies[-1][: fault.cut_reply_at] if whole else b""

    def _ask(self, request: bytes, *, listen: bool = True) -> bytes:
        with socket.create_connection(("127.0.0.1", self.server_port), TIMEOUT_S) as server:
            server.sendall(request)
            if not listen:
                return b""
            pieces = []
            while piece := server.recv(65_536):
                pieces.append(piece)
            return b"".join(pieces)


def _whole(line: socket.socket) -> bytes:
    """One request with its body, as its Content-Length says."""
    got = b""
    while b"\r\n\r\n" not in got:
        got += _some(line)
    head, _, body = got.partition(b"\r\n\r\n")
    lengths = [
        int(value)
        for name, _, value in (row.partition(b":") for row in head.split(b"\r\n")[1:])
        if name.lower() == b"content-length"
    ]
    missing = (lengths[0] if lengths else 0) - len(body)
    while missing > 0:
        piece = _some(line)
        got, missing = got + piece, missing - len(piece)
    return got


def _some(line: socket.socket) -> bytes:
    piece = line.recv(65_536)
    if not piece:
        raise ConnectionResetError("the phone went away in the middle of its request")
    return piece
