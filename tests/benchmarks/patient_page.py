"""`python -m tests.benchmarks.patient_page`: its budget by itself, on SQLite and PostgreSQL."""

import argparse
from collections.abc import Iterator
from random import Random

from tests.support import postgres

DAYS = (30, 180, 365)


def patient_page() -> Iterator[str]:
    """Whole requests by the usual range and by the longest."""
    from django.test import Client

    from tests.benchmarks.measures import line, queries, timed

    for days in DAYS:
        patient, clinician = _lived(days)
        client = Client()
        client.force_login(clinician.user)
        for weeks in ("4", "12", "all"):
            url = f"/desk/patients/{patient.id}/?weeks={weeks}"

            def page(client: Client = client, url: str = url) -> None:
                assert client.get(url).status_code == 200

            what = f"patient page, {days} days, range {weeks}"
            yield line(what, timed(page, 20), f"{queries(page)} queries")


def _lived(days: int):
    """A patient of two limbs, the left one with so many days of entries."""
    from datetime import timedelta

    from homeprogram.services.patients import patient_add
    from tests.benchmarks.data import history_write
    from tests.benchmarks.measures import NOW
    from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program

    then = NOW - timedelta(days=days + 1)
    clinician = make_clinician(make_clinic(then), f"page-{days}@bench.example", then)
    patient = patient_add(by=clinician, name="Page Patient", now=then, zone="UTC")
    left = make_program(patient, clinician, then)
    make_program(patient, clinician, then, "right")
    phone = PairedPhone(patient, clinician, then, standing=True)
    history_write(patient, phone, left, days=days, now=NOW, random=Random(7))
    return patient, clinician


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
