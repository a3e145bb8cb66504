"""The project's settings with other options of SQLite, for servers that drills start.

BOUTWISE_TEST_SQLITE holds them as JSON; without it this is project.settings.
"""

import json
import os

from project.settings import *  # noqa: F403
from project.settings import DATABASES

DATABASES["default"]["OPTIONS"] |= json.loads(os.environ.get("BOUTWISE_TEST_SQLITE", "{}"))
