"""Surgeon's limits and strength tests for the cast."""

from datetime import date, datetime

TRIALS = {
    "involved": [90.0, 100.0, 98.0],
    "uninvolved": [120.0, 125.0, 124.0],
    "unit": "Nm",
    "lever_arm_m": None,
    "body_mass_kg": 80.0,
    "preop_uninvolved": 140.0,
    "evoked": 30.0,
    "evoked_of": "uninvolved",
    "mvic_rule": "best",
    "method": "electromechanical",
    "other_limb": "sound",
    "weeks_since_start": 3,
    "weeks_since_surgery": None,
    "pathway": "conservative",
}


def make_limit(episode, by, now: datetime, **changes):
    from homeprogram.services.screenings import surgeon_limit_record

    values = {
        "kind": "range_of_motion",
        "detail": "bend to 90 degrees only",
        "said_by": "Dr Ama Lind",
        "first_day": now.date(),
        "from_deg": 0,
        "to_deg": 90,
    }
    return surgeon_limit_record(episode=episode, by=by, now=now, **values | changes)


def make_strength_test(episode, by, now: datetime, *, on: date | None = None, said=None, **trials):
    """A cleared maximal test at 60 degrees, today; `said` = what else is recorded."""
    from homeprogram.services.strength_tests import strength_test_record

    values = {"maximal": True, "cleared_on": date(2030, 2, 1), "knee_angle_deg": 60}
    return strength_test_record(
        episode=episode,
        by=by,
        on=on or now.date(),
        now=now,
        **{"request": TRIALS | trials} | values | (said or {}),
    )
