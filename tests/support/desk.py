"""What a clinic writes down of its own work, for the cast."""

from datetime import datetime, timedelta


def make_contact(patient, by, now: datetime, **said):
    """A telephone call of five minutes that the clinic made."""
    from clinician.services.contacts import contact_record

    usual = {
        "at": now,
        "way": "telephone",
        "direction": "out",
        "minutes": 5,
        "about": "review",
        "note": "All well.",
    }
    return contact_record(patient=patient, by=by, now=now, **usual | said)


def make_own(by, now: datetime, asset_number: str = "KN-01", **said):
    """A stimulator of the clinic's own, checked today for a year."""
    from clinician.services.lending import stimulator_own_add
    from homeprogram.selectors.record import stimulators_of_clinic

    day = now.date()
    usual = {
        "profile": stimulators_of_clinic(clinic=by.clinic)[0],
        "checked_on": day,
        "check_due_on": day + timedelta(days=365),
        "leads": "two leads",
    }
    return stimulator_own_add(
        clinic=by.clinic, by=by, asset_number=asset_number, now=now, **usual | said
    )


def make_loan(patient, by, now: datetime, own=None, **said):
    """Lent for twelve weeks."""
    from clinician.services.lending import loan_open

    usual = {"due_back_on": now.date() + timedelta(weeks=12), "went_with": "leads and 4 pads"}
    own = own or make_own(by, now)
    return loan_open(stimulator=own, patient=patient, by=by, now=now, **usual | said)
