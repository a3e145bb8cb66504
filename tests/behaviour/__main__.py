"""`python -m tests.behaviour [--count N] [--weeks N] [--svg FILE]`: what the rules cost.

`--steady 0.9` asks about one habit alone, with its standard error.
"""

import argparse
import os
from pathlib import Path


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.behaviour")
    parser.add_argument("--count", type=int, default=100, help="patients of each habit")
    parser.add_argument("--weeks", type=int, default=12)
    parser.add_argument("--seed", type=int, default=20300304)
    parser.add_argument("--svg", type=Path, help="where to draw the trade-off")
    parser.add_argument("--steady", type=float, help="only who does this share of bouts")
    told = parser.parse_args()
    os.environ.setdefault("BOUTWISE_MODE", "test")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "project.settings")
    import django

    django.setup()
    from tests.behaviour import report

    asked = told.count, told.weeks * 7, told.seed
    lines = report.steadily(told.steady, *asked) if told.steady else report.every(*asked, told.svg)
    for line in lines:
        print(line, flush=True)


if __name__ == "__main__":
    main()
