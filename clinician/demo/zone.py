"""The zone of this machine, so that the demo's today is the visitor's today."""

import os
from pathlib import Path
from zoneinfo import ZoneInfo

from homeprogram.calc.days import zone_or_utc

LOCALTIME = Path("/etc/localtime")


def zone_here() -> ZoneInfo:
    """From TZ, else from where /etc/localtime points; UTC where neither tells."""
    named = os.environ.get("TZ", "").lstrip(":")
    if named:
        return zone_or_utc(named)
    _, _, linked = str(LOCALTIME.resolve()).partition("zoneinfo/")
    return zone_or_utc(linked.removeprefix("posix/") or "UTC")
