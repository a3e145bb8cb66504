"""`python -m tests.benchmarks [--small]`: the budgets, measured on PostgreSQL with fsync on.

Prints medians and 95th percentiles; nothing here asserts a time. A loaded
machine gives larger figures: compare within one run.
"""

import argparse
import importlib
import os
import platform
import sys
from contextlib import contextmanager

from tests.support import postgres


@contextmanager
def record(url: str):
    """An empty record at that address, SQLite without one, gone afterwards."""
    os.environ["BOUTWISE_MODE"] = "test"
    os.environ["DJANGO_SETTINGS_MODULE"] = "project.settings"
    os.environ["DATABASE_URL"] = url
    import django

    django.setup()
    from django.template.base import Template
    from django.test.runner import DiscoverRunner
    from django.test.utils import setup_test_environment

    as_served = Template._render
    setup_test_environment()
    Template._render = as_served  # for tests it copies the context of all that is rendered
    importlib.import_module("project.wsgi")
    runner = DiscoverRunner(verbosity=0, interactive=False)
    databases = runner.setup_databases()
    try:
        yield
    finally:
        runner.teardown_databases(databases)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks")
    parser.add_argument("--small", action="store_true", help="a tenth of the size")
    options = parser.parse_args()
    if not postgres.available():
        sys.exit("The benchmarks need PostgreSQL (apt-get install postgresql).")
    with postgres.server(durable=True) as url, record(url):
        from tests.benchmarks import measures

        print(f"{platform.python_version()} on {os.cpu_count()} cores, {platform.machine()}")
        for line in measures.every(small=options.small):
            print(line, flush=True)


if __name__ == "__main__":
    main()
