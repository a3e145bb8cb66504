"""A line that says how far a long command has come."""

from typing import TextIO

WIDTH = 28
# Where nobody watches (a log file, a pipe) a few lines say as much as a thousand.
LINES_IN_A_LOG = 10


class Bar:
    """`show(done, of)` draws one line over itself on a terminal, a few lines elsewhere."""

    def __init__(self, out: TextIO, what: str) -> None:
        self._out, self._what = out, what
        self._told = 0

    def show(self, done: int, of: int) -> None:
        filled = WIDTH * done // of
        line = f"[{'#' * filled}{'.' * (WIDTH - filled)}] {done} of {of} {self._what}"
        if self._out.isatty():
            self._write("\r" + line, "\n" if done == of else "")
            return
        step = LINES_IN_A_LOG * done // of
        if step > self._told:
            self._told = step
            self._write(line, "\n")

    def _write(self, line: str, ending: str) -> None:
        # Django's wrapped streams take `ending`; plain ones do not.
        getattr(self._out, "_out", self._out).write(line + ending)
        self._out.flush()
