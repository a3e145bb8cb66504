"""The phones' side of the pipe: one Node process for any number of worlds."""

import json
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

HERE = Path(__file__).resolve().parent
SHIPPED = HERE.parent.parent / "static" / "patient"


class NodeError(Exception):
    """Node ended or wrote no JSON; a fault of the tester, not of the tested."""


class Node:
    """Runs the patient's modules of `core`; asks `answer` for each request of a phone."""

    def __init__(self, core: Path = SHIPPED) -> None:
        self.answer: Callable[[dict], dict] | None = None
        program = shutil.which("node")
        if program is None:
            raise NodeError("Node is not installed.")
        self.process = subprocess.Popen(
            [program, "--no-warnings", str(HERE / "phone" / "main.js")],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env=os.environ | {"SIM_CORE": core.as_uri() + "/", "TZ": "Antarctica/Troll"},
        )

    def begin(self, **world: object) -> None:
        self._call({"begin": world})

    def run(self, **what: object) -> dict:
        return self._call({"run": what})

    def _call(self, command: dict) -> dict:
        self._write(command)
        while True:
            said = self._read()
            if "fetch" not in said:
                return said
            self._write(self.answer(said["fetch"]))

    def _write(self, value: dict) -> None:
        self.process.stdin.write(json.dumps(value).encode() + b"\n")
        self.process.stdin.flush()

    def _read(self) -> dict:
        line = self.process.stdout.readline()
        if not line:
            raise NodeError(f"Node ended with {self.process.wait()}.")
        return json.loads(line)

    def close(self) -> None:
        self.process.stdin.close()
        self.process.wait(timeout=10)
        self.process.stdout.close()
