"""`python -m tests.behaviour [--count N] [--weeks N] [--svg FILE]`: what the rules cost."""

import argparse
import os
from pathlib import Path


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.behaviour")
    parser.add_argument("--count", type=int, default=100, help="patients of each habit")
    parser.add_argument("--weeks", type=int, default=12)
    parser.add_argument("--seed", type=int, default=20300304)
    parser.add_argument("--svg", type=Path, help="where to draw the trade-off")
    told = parser.parse_args()
    os.environ.setdefault("BOUTWISE_MODE", "test")
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "project.settings")
    import django

    django.setup()
    from tests.behaviour import report

    for line in report.every(told.count, told.weeks * 7, told.seed, told.svg):
        print(line, flush=True)


if __name__ == "__main__":
    main()
