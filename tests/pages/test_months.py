"""The table of a month and its CSV say the same; the page says what it does not know."""

import csv
import io
from datetime import timedelta

import pytest
from django.urls import reverse

from homeprogram.services.patients import patient_add
from tests.support.desk import make_contact
from tests.support.reading import text_of


@pytest.fixture
def contacts(patient, clinician, now):
    make_contact(patient, clinician, now, minutes=9)
    make_contact(patient, clinician, now - timedelta(days=1), minutes=12)


def sheet(desk, **asked) -> list[list[str]]:
    response = desk.get(reverse("months-file"), asked)
    return list(csv.reader(io.StringIO(response.content.decode())))


def test_table_and_file_carry_the_same_numbers(desk, contacts, patient):
    page = desk.get(reverse("months")).context

    shown = [["2030-03", row.name, *(str(count) for _, count in row.cells)] for row in page["rows"]]

    assert sheet(desk) == [["Month", "Patient", *page["columns"]], *shown]
    assert shown == [["2030-03", "Wilma Tarn", "0", "0", "2", "21", "0", "2", "0"]]


def test_the_page_says_that_it_knows_no_payers_rule(desk):
    assert "Boutwise knows no payer's rule" in text_of(desk.get(reverse("months")))


@pytest.mark.parametrize("asked", ["", "2030-13", "x", "2031-01", "1066-10"])
def test_no_or_an_odd_month_is_answered(desk, contacts, asked):
    response = desk.get(reverse("months"), {"month": asked})

    assert response.status_code == 200


def test_another_month_is_another_table(desk, contacts):
    assert sheet(desk, month="2030-02")[1][4] == "0"


def test_a_name_that_a_spreadsheet_would_run_is_quoted(desk, clinician, now):
    patient_add(by=clinician, name="=1+1", now=now)

    assert [row[1] for row in sheet(desk)] == ["Patient", "'=1+1"]
