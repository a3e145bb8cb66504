#!/usr/bin/env python3
"""Entry to every command; sets up its own environment first.

`python3 manage.py demo` and `python3 manage.py test` are all a stranger has to
type: with nothing but the standard library this file makes `.venv`, installs
what pyproject.toml names, and goes on inside. Containers and CI that bring
their own environment set BOUTWISE_NO_BOOTSTRAP=1.
"""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
STAMP = VENV / "boutwise-installed"
OLDEST_PYTHON = (3, 11)


def _wanted() -> str:
    pyproject = (ROOT / "pyproject.toml").read_bytes()
    return hashlib.sha256(pyproject + sys.version.encode()).hexdigest()


def _run(*command: str) -> None:
    # All set-up chatter goes to stderr: `demo --json` promises a clean stdout.
    done = subprocess.run(command, cwd=ROOT, stdout=sys.stderr, check=False)  # noqa: S603
    if done.returncode:
        sys.exit(f"Set-up stopped: {' '.join(command)} ended with {done.returncode}.")


def _make_environment() -> None:
    try:
        import ensurepip  # noqa: F401, PLC0415  Debian ships Python without it
        import venv  # noqa: F401, PLC0415
    except ImportError:
        sys.exit(
            "Python's venv module is missing. On Debian and Ubuntu: "
            "apt-get install python3-venv. Then run this command again."
        )
    print("Setting up .venv (once, about a minute) ...", file=sys.stderr)
    if not PYTHON.exists():
        _run(sys.executable, "-m", "venv", str(VENV))
    # Python compiles what it meets; pip would compile all, a third of the wait.
    _run(str(PYTHON), "-m", "pip", "install", "--quiet", "--no-compile", "-e", ".[dev]")
    STAMP.write_text(_wanted())


def _continue_inside() -> None:
    arguments = [str(PYTHON), str(ROOT / "manage.py"), *sys.argv[1:]]
    if os.name == "nt":
        sys.exit(subprocess.run(arguments, check=False).returncode)  # noqa: S603
    os.execv(arguments[0], arguments)  # noqa: S606  our own interpreter


def bootstrap() -> None:
    """Continue in `.venv`, installing first when pyproject.toml has changed."""
    if sys.version_info < OLDEST_PYTHON:
        sys.exit(f"Boutwise needs Python 3.11 or newer; this is {sys.version.split()[0]}.")
    if os.environ.get("BOUTWISE_NO_BOOTSTRAP"):
        return
    inside = Path(sys.prefix).resolve() == VENV.resolve()
    if inside and not STAMP.exists():
        return  # somebody made this environment by hand
    stale = not STAMP.exists() or STAMP.read_text() != _wanted()
    if inside and not stale:
        return
    if stale:
        _make_environment()
    if not inside:
        _continue_inside()


def _demo_environment() -> None:
    """Before settings load: the demo has a folder and a database of its own."""
    from project.demo_folder import demo_folder  # noqa: PLC0415  only for this command

    var = Path(os.environ.get("BOUTWISE_VAR", ROOT / "var"))
    os.environ["BOUTWISE_VAR"] = str(demo_folder(var))
    os.environ["BOUTWISE_MODE"] = "demo"
    for real in ("DATABASE_URL", "BOUTWISE_HOSTS"):
        os.environ.pop(real, None)


def _keep_bytecode() -> None:
    """Tests start Python some hundred times: compiled once, not each time.

    Where this machine is told to write no bytecode, it lies with our other files.
    """
    if os.environ.pop("PYTHONDONTWRITEBYTECODE", ""):
        sys.dont_write_bytecode = False
        sys.pycache_prefix = str(ROOT / "var" / "bytecode")
        os.environ["PYTHONPYCACHEPREFIX"] = sys.pycache_prefix


def main() -> None:
    bootstrap()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "project.settings")
    command = sys.argv[1] if len(sys.argv) > 1 else ""
    if command == "demo":
        _demo_environment()
    if command == "test":
        os.environ.setdefault("BOUTWISE_MODE", "test")
        _keep_bytecode()
        import pytest  # noqa: PLC0415  only there after the set-up

        # All of them take a while: use every core, one file at a time on each worker, the
        # longest files first (tests/conftest.py). Two workers leave two cores idle for two
        # fifths of the time, waiting for browsers, servers and disks: three on two cores.
        workers = str(3 * (os.cpu_count() or 2) // 2)
        everything = ["-n", workers, "--dist", "loadfile", "--no-loadscope-reorder"]
        sys.exit(pytest.main(sys.argv[2:] or everything))
    from django.core.management import execute_from_command_line  # noqa: PLC0415

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
