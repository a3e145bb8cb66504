"""What a process asked of the kernel, in order: strace, attached and read back."""

import os
import re
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.support.needs import need

REST_S, WAIT_S = 0.5, 10
TRACED = "pwrite64,write,fsync,fdatasync,sync_file_range,ftruncate,unlink,openat,sendto,recvfrom"
CALL = re.compile(r"^\d+ +(\w+)\((.*)\) += (-?\d+)")
BYTES = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')
HANDLE = re.compile(r"^(?:\d+|AT_FDCWD)<(.*?)>(?=, |$)")


@dataclass(frozen=True)
class Call:
    """`path` is the file it was about, `data` what was written, sent or read."""

    name: str
    path: str
    data: bytes
    numbers: tuple[int, ...]  # those at the end of its arguments
    result: int

    @property
    def flushes(self) -> bool:
        return self.name in {"fsync", "fdatasync"} and self.result == 0


@contextmanager
def traced(*pids: int) -> Iterator[list[Call]]:
    """The calls of these processes and all their threads, there once the block is left."""
    strace = shutil.which("strace")
    need(strace, "strace")
    folder = Path(tempfile.mkdtemp(prefix="boutwise-trace-"))
    attached = [part for pid in pids for part in ("-p", str(pid))]
    tracer = subprocess.Popen(
        [strace, "-f", "-yy", "-xx", "-s", "70000", "-e", f"trace={TRACED}", "-e", "signal=none",
         "-o", str(folder / "calls"), *attached],
        stderr=subprocess.PIPE,
        text=True,
    )  # fmt: skip
    calls: list[Call] = []
    try:
        for _ in pids:
            said = tracer.stderr.readline()
            # Without the right to look at another process there is nothing to show.
            need("attached" in said or os.geteuid() == 0, "the right to trace a process")
            assert "attached" in said, said
        yield calls
        _wait_for_rest(folder / "calls")
    finally:
        tracer.terminate()
        tracer.stderr.close()
        tracer.wait(timeout=20)
        calls += filter(None, map(_call, _whole_lines((folder / "calls").read_text())))
        shutil.rmtree(folder, ignore_errors=True)


def _wait_for_rest(file: Path) -> None:
    """A reply is here before its end is written down: a tracer stopped then would cut it off."""
    until, size = time.monotonic() + WAIT_S, -1
    while file.stat().st_size != size and time.monotonic() < until:
        size = file.stat().st_size
        time.sleep(REST_S)


def _whole_lines(text: str) -> Iterator[str]:
    """Calls that another thread interrupted, put together where they ended."""
    begun: dict[str, str] = {}
    for line in text.splitlines():
        pid = line.split(" ", 1)[0]
        if line.endswith("<unfinished ...>"):
            begun[pid] = line.removesuffix("<unfinished ...>").rstrip()
        elif " resumed>" in line:
            yield begun.pop(pid, "") + line.partition(" resumed>")[2]
        else:
            yield line


def _call(line: str) -> Call | None:
    found = CALL.match(line)
    if not found:
        return None
    name, arguments, result = found.groups()
    handle = HANDLE.match(arguments)
    rest = arguments[handle.end() :] if handle else arguments
    texts = [_decoded(text) for text in BYTES.findall(rest)]
    data = texts[0] if texts else b""
    if name in {"openat", "unlink"}:
        path, data = os.fsdecode(data), b""
    else:
        path = _path(handle.group(1)) if handle else ""
    numbers = tuple(int(word) for word in re.findall(r", (\d+)(?=,|$)", rest))
    return Call(name, path, data, numbers, int(result))


def _path(handle: str) -> str:
    """The file behind a number; what is no file keeps strace's words for it."""
    return os.fsdecode(_decoded(handle)) if handle.startswith("\\x") else handle


def _decoded(text: str) -> bytes:
    return bytes.fromhex(text.replace("\\x", ""))
