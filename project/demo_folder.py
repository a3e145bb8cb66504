"""A folder for one running demo. Standard library only: settings are not there yet."""

import atexit
import sys
from pathlib import Path

MOST = 20


def demo_folder(var: Path) -> Path:
    """`var/demo`, or `var/demo-2` ... while another demo runs in the first.

    It lies below whatever folder a real clinic uses and holds a database of
    another name, so that a demo cannot touch a clinic's record.
    """
    for number in range(1, MOST + 1):
        folder = var / ("demo" if number == 1 else f"demo-{number}")
        folder.mkdir(parents=True, exist_ok=True)
        if _lock(folder / "lock"):
            return folder
    raise SystemExit(f"{MOST} demos are running below {var}. End one first.")


def _lock(path: Path) -> bool:
    held = path.open("w")
    try:
        if sys.platform == "win32":
            import msvcrt  # noqa: PLC0415

            msvcrt.locking(held.fileno(), msvcrt.LK_NBLCK, 1)
        else:
            import fcntl  # noqa: PLC0415

            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        held.close()
        return False
    # Open, and thereby locked, until this process and its workers end.
    atexit.register(held.close)
    return True
