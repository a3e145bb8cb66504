"""A line between two servers on loopback that can be held up, and then cut for good."""

import socket
import threading
import time
from contextlib import suppress


class Relay:
    """Carries bytes both ways; `hold` delays them, `cut` throws away what was held."""

    def __init__(self, target_port: int) -> None:
        self.target_port = target_port
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port = self._listener.getsockname()[1]
        self._open = threading.Event()
        self._open.set()
        self._cut = False
        self._lines: list[socket.socket] = []
        threading.Thread(target=self._serve, daemon=True).start()

    def hold(self) -> None:
        self._open.clear()

    def cut(self) -> None:
        self._cut = True
        self._open.set()
        for line in (self._listener, *self._lines):
            with suppress(OSError):
                line.shutdown(socket.SHUT_RDWR)
            line.close()

    def _serve(self) -> None:
        while True:
            try:
                near, _ = self._listener.accept()
                far = socket.create_connection(("127.0.0.1", self.target_port))
            except OSError:
                if self._cut:
                    return
                time.sleep(0.05)
                continue
            self._lines += [near, far]
            for pair in ((near, far), (far, near)):
                threading.Thread(target=self._carry, args=pair, daemon=True).start()

    def _carry(self, source: socket.socket, sink: socket.socket) -> None:
        with suppress(OSError):
            while piece := source.recv(65_536):
                self._open.wait()
                if self._cut:
                    return
                sink.sendall(piece)
            sink.shutdown(socket.SHUT_WR)
