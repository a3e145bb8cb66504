"""`python -m tests.benchmarks.patient_page`: its budget by itself, on SQLite and PostgreSQL."""

import argparse
from collections.abc import Iterator

from tests.support import postgres

DAYS = (30, 180, 365)


def patient_page() -> Iterator[str]:
    """Whole requests by the usual range and by the longest."""
    from django.test import Client

    from tests.benchmarks.measures import NOW, line, queries, timed
    from tests.support.whole_patient import whole_patient

    for days in DAYS:
        patient, clinician = whole_patient(days=days, now=NOW)
        client = Client()
        client.force_login(clinician.user)
        for weeks in ("4", "12", "all"):
            url = f"/desk/patients/{patient.id}/?weeks={weeks}"

            def page(client: Client = client, url: str = url) -> None:
                assert client.get(url).status_code == 200

            what = f"patient page, {days} days, range {weeks}"
            yield line(what, timed(page, 20), f"{queries(page)} queries")


def main() -> None:
    from tests.benchmarks.__main__ import record

    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.patient_page")
    parser.add_argument("--sqlite", action="store_true", help="instead of PostgreSQL")
    if parser.parse_args().sqlite:
        with record(""):
            print(*patient_page(), sep="\n")
    else:
        with postgres.server(durable=True) as url, record(url):
            print(*patient_page(), sep="\n")


if __name__ == "__main__":
    main()
