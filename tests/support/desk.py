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


def seen_bout(clinic, started_at: datetime, **said):
    """Fifteen contractions in fifteen minutes on one channel."""
    from homeprogram.selectors.record import stimulators_of_clinic
    from homeprogram.services.visits import BoutSeen

    usual = {
        "stimulator": stimulators_of_clinic(clinic=clinic)[0],
        "started_at": started_at,
        "minutes": 15,
        "contractions": 15,
        "intensity": [{"channel": 1, "start": 18, "floor": 32, "ceiling": 55}],
        "contraction": "sustained",
        "discomfort": 4,
        "skin_before": 0,
        "skin_after": 1,
    }
    return BoutSeen(**usual | said)


def make_visit(episode, by, now: datetime, **said):
    """At the clinic, half an hour, with a note."""
    from clinician.services.visits import visit_write

    usual = {"kind": "clinic", "at": now, "note": "Walks without crutches.", "minutes": 30}
    return visit_write(episode=episode, by=by, now=now, **usual | said)


def make_incident(patient, by, now: datetime, **said):
    """A burn under a pad, told by the patient."""
    from clinician.services.incidents import incident_record

    usual = {
        "kind": "burn",
        "happened_at": now - timedelta(hours=2),
        "near": "during",
        "facts": "A red spot with a blister under the upper pad.",
        "told_by": "the patient",
        "skin_grade": 4,
        "pads": "self-adhesive, three weeks old, one edge lifted",
    }
    return incident_record(patient=patient, by=by, now=now, **usual | said)
