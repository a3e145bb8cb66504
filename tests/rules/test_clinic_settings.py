"""What a lead sets besides texts and thresholds."""

from datetime import time

import pytest

from homeprogram.calc.clinic_settings import ClinicSettings


def test_reminders_are_quiet_from_nine_to_eight_until_the_clinic_says_otherwise():
    usual = ClinicSettings.of_clinic({})

    assert (usual.quiet_from, usual.quiet_until) == (time(21), time(8))
    assert ClinicSettings.of_clinic({"quiet_from": "20:30"}).quiet_from == time(20, 30)


@pytest.mark.parametrize(
    "edited",
    [
        {"mood": 1},
        {"unseen_h": 0},
        {"unseen_h": True},
        {"adherence_bar_pct": 101},
        {"retention_years": 0},
        {"quiet_from": "late"},
        {"duty_from": "18:00"},
        {"quiet_from": "08:00"},
    ],
    ids=str,
)
def test_what_makes_no_sense_is_refused(edited):
    with pytest.raises(ValueError, match=r".+"):
        ClinicSettings.of_clinic(edited)
