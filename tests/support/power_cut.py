"""What a disk may hold after a power cut, worked out from the calls that led there.

Hard on the program: content is safe only once its file was flushed, a name that
came or went only once its folder was. Of the rest any part may be there, and
the last sector of a write may be torn off.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from tests.support.syscalls import Call

SECTOR = 512


@dataclass
class Content:
    """One file: what is flushed, and what came after."""

    flushed: bytes = b""
    pending: list[tuple[int, bytes | None]] = field(default_factory=list)  # None: cut to length

    def flush(self) -> None:
        self.flushed, self.pending = self.after(self.pending), []

    def after(self, writes: list[tuple[int, bytes | None]]) -> bytes:
        held = bytearray(self.flushed)
        for offset, data in writes:
            if data is None:
                held = held[:offset].ljust(offset, b"\0")
            else:
                held.extend(b"\0" * (offset - len(held)))
                held[offset : offset + len(data)] = data
        return bytes(held)


class Disk:
    """One folder; `apply` each call in turn, `states` at any moment."""

    def __init__(self, folder: Path, files: dict[str, bytes]) -> None:
        self.folder = folder
        self.names = {name: Content(data) for name, data in files.items()}
        self.flushed_names = dict(self.names)

    def apply(self, call: Call) -> None:
        path = Path(call.path)
        if path == self.folder and call.flushes:
            self.flushed_names = dict(self.names)
        if path.parent != self.folder or call.result < 0:
            return
        if call.name == "unlink":
            self.names.pop(path.name, None)
            return
        content = self.names.setdefault(path.name, Content())
        if call.name == "pwrite64":
            content.pending.append((call.numbers[-1], call.data[: call.result]))
        elif call.name == "ftruncate":
            content.pending.append((call.numbers[-1], None))
        elif call.flushes:
            content.flush()

    def states(self, chance: random.Random) -> Iterator[dict[str, bytes]]:
        """The least and the most that may be left, and parts between."""
        nothing, everything = (lambda writes: []), list
        yield self._state(self.flushed_names, nothing)
        yield self._state(self.names, everything)
        for names in (self.flushed_names, self.names):
            yield self._state(names, lambda writes: self._some(writes, chance))

    def _state(self, names: dict[str, Content], kept) -> dict[str, bytes]:
        # The shared memory beside a write-ahead log is made anew by whoever opens it.
        return {
            name: content.after(kept(content.pending))
            for name, content in names.items()
            if not name.endswith("-shm")
        }

    def _some(self, writes: list, chance: random.Random) -> list:
        kept = [write for write in writes if chance.random() < 0.5]
        if kept and kept[-1][1]:
            offset, data = kept[-1]
            kept[-1] = (offset, data[: chance.randrange(0, len(data) + 1, SECTOR)])
        return kept
