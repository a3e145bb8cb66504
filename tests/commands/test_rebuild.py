"""Rebuild makes the rows anew; its check tells when stored ones are not what entries say."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from homeprogram.models import Bout, PatientDay, SkinCheck
from tests.entries import BOUT, skin


def rebuild(*options: str) -> str:
    out = StringIO()
    call_command("rebuild", *options, stdout=out, stderr=StringIO())
    return out.getvalue()


@pytest.fixture
def logged(phone, revision):
    """A bout and a skin check that came by the public API."""
    names = {"episode_id": str(revision.program.episode_id), "revision_id": str(revision.id)}
    entries = [phone.entry("bout", BOUT, **names), phone.entry("skin_check", skin(), **names)]
    assert [one["outcome"] for one in phone.push(*entries).json()["receipts"]] == ["stored"] * 2


def test_the_check_agrees_with_what_pushes_left(logged):
    assert "1 patients agree" in rebuild("--check")


def test_the_check_counts_a_changed_row(logged):
    Bout.objects.update(contractions=99)
    PatientDay.objects.update(contractions=99)
    with pytest.raises(CommandError, match="Bout 1, PadNews 0, PatientDay 1, SkinCheck 0"):
        rebuild("--check")


def test_the_check_counts_a_lost_row(logged):
    SkinCheck.objects.all().delete()
    with pytest.raises(CommandError, match="Bout 0, PadNews 0, PatientDay 0, SkinCheck 1"):
        rebuild("--check")


def test_the_check_counts_a_row_no_entry_speaks_of(logged):
    stray = PatientDay.objects.get()
    stray.pk, stray.day = None, "2030-01-01"
    stray.save()
    with pytest.raises(CommandError, match="PatientDay 1"):
        rebuild("--check")


def test_the_check_changes_nothing(logged):
    Bout.objects.update(contractions=99)
    with pytest.raises(CommandError):
        rebuild("--check")
    assert Bout.objects.get().contractions == 99


def test_a_rebuild_mends_what_the_check_found(logged):
    Bout.objects.update(contractions=99)
    assert "Rebuilt 3 rows of 1 patients" in rebuild()
    assert Bout.objects.get().contractions == BOUT["contractions"]
    assert "agree" in rebuild("--check")
