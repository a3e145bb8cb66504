"""A push service on loopback that answers as it is told, over TLS with a certificate of its own.

It stands where a browser maker's would: the sender is given its address as if it were
public, and everything else (name, certificate, connection) is real.
"""

import datetime
import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from clinician.services.channels.wire import Wire

HOST = "fcm.googleapis.com"  # one that the list of push services has
PUBLIC = "198.41.0.4"  # any address of the open internet; nobody calls it


@dataclass(frozen=True, slots=True)
class Heard:
    target: str
    headers: dict[str, str]
    body: bytes


@dataclass
class PushService:
    """`answer` is what it says, byte by byte; None: nothing at all."""

    folder: Path
    answer: bytes | None = b"HTTP/1.1 201 Created\r\n\r\n"
    heard: list[Heard] = field(default_factory=list)
    dialled: list[tuple[str, int]] = field(default_factory=list)
    tls: bool = True
    names: tuple[str, ...] = (HOST,)

    def says(self, status: int, **headers: str) -> None:
        lines = [f"{name.replace('_', '-')}: {value}" for name, value in headers.items()]
        self.answer = "\r\n".join([f"HTTP/1.1 {status} So", *lines, "", "body"]).encode()

    def wire(self, *addresses: str, public_only: bool = True) -> Wire:
        return Wire(
            public_only=public_only,
            resolve=lambda host, port: list(addresses or [PUBLIC]),
            dial=self._dial,
            trust=lambda: ssl.create_default_context(cafile=self.folder / "cert.pem"),
        )

    def _dial(self, address: tuple[str, int], timeout: float) -> socket.socket:
        self.dialled.append(address)
        return socket.create_connection(("127.0.0.1", self.port), timeout=timeout)

    @contextmanager
    def open(self) -> Iterator["PushService"]:
        _certify(self.folder, self.names)
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(self.folder / "cert.pem", self.folder / "key.pem")
        with socket.create_server(("127.0.0.1", 0)) as door:
            self.port = door.getsockname()[1]
            thread = threading.Thread(target=self._serve, args=(door, context), daemon=True)
            thread.start()
            yield self
            door.shutdown(socket.SHUT_RDWR)
            thread.join(5)

    def _serve(self, door: socket.socket, context: ssl.SSLContext) -> None:
        with suppress(OSError):
            while True:
                line, _ = door.accept()
                with suppress(OSError, ValueError), line:
                    self._talk(context.wrap_socket(line, server_side=True) if self.tls else line)

    def _talk(self, line: socket.socket) -> None:
        with line, line.makefile("rb") as told:
            _, target, _ = told.readline().decode().split()
            headers = {}
            while (one := told.readline().decode().strip()) != "":
                name, _, value = one.partition(":")
                headers[name.lower()] = value.strip()
            body = told.read(int(headers.get("content-length", "0")))
            self.heard.append(Heard(target, headers, body))
            if self.answer is not None:
                line.sendall(self.answer)
            else:
                line.recv(1)  # until the other side gives up


def _certify(folder: Path, names: tuple[str, ...]) -> None:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "a push service of ours")])
    now = datetime.datetime.now(tz=datetime.UTC)
    whose = x509.SubjectAlternativeName([x509.DNSName(one) for one in names])
    cert = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - datetime.timedelta(days=1))
        .not_valid_after(now + datetime.timedelta(days=1))
        .add_extension(whose, critical=False)
        .sign(key, hashes.SHA256())
    )
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "cert.pem").write_bytes(cert.public_bytes(serialization.Encoding.PEM))
    (folder / "key.pem").write_bytes(
        key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
    )


class Receiver:
    """The browser's end: its keys, and what it reads of a message."""

    def __init__(self) -> None:
        self.key = ec.generate_private_key(ec.SECP256R1())
        self.secret = b"0123456789abcdef"
        self.point = self.key.public_key().public_bytes(
            serialization.Encoding.X962, serialization.PublicFormat.UncompressedPoint
        )

    def subscription(self, path: str = "/fcm/send/one", host: str = HOST) -> dict:
        """As a browser's PushSubscription puts itself into JSON."""
        from homeprogram.calc.base64url import packed

        keys = {"p256dh": packed(self.point), "auth": packed(self.secret)}
        return {"endpoint": f"https://{host}{path}", "expirationTime": None, "keys": keys}

    def reads(self, body: bytes) -> bytes:
        import http_ece

        return http_ece.decrypt(
            body, private_key=self.key, auth_secret=self.secret, version="aes128gcm"
        )
