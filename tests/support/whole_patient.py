"""A patient with so many days of entries, and something in every section of the patient page."""

import itertools
from datetime import datetime, timedelta
from random import Random

HOUR = timedelta(hours=1)
# Words of the page that say that a section is not empty.
SHOWN = (
    "1 hold lifted",
    "read this code out",
    "Waits for Ro, unseen",
    "Ro looks after it",
    "Closed by Ro",
    "bend to 90 degrees only",
    "Mark as read",
    "Asked to be called back",
    "Stopped by the patient",
    "Earlier contacts (2)",
    "Earlier visits (2)",
    "the log holds",
    "incident open",
    "It must not be used",
    "KN-02: from",
    "Due days missed in a row: 4 days",
    "travels",
)


def whole_patient(*, days: int, now: datetime, seed: int = 5):
    """Two limbs, the left one with the entries; the patient, and the clinician."""
    from homeprogram.services.patients import patient_add
    from tests.benchmarks.data import history_write
    from tests.conftest import PairedPhone, make_clinic, make_clinician, make_program

    then = now - timedelta(days=days + 1)
    clinician = make_clinician(make_clinic(then), f"ro{days}@larkrise.example", then)
    patient = patient_add(by=clinician, name="Wilma Tarn", now=then, zone="UTC")
    left = make_program(patient, clinician, then)
    make_program(patient, clinician, then, "right")
    phone = PairedPhone(patient, clinician, then, standing=True)
    count = history_write(patient, phone, left, days=days, now=now, random=Random(seed))
    phone.numbers = itertools.count(count + 1)
    _told_by_the_phone(patient, phone, now)
    _written_at_the_desk(patient, left, then, now)
    _lent_and_seen(patient, left, then, now)
    _flags_answered(patient, now)
    return patient, clinician


def _told_by_the_phone(patient, phone, now: datetime) -> None:
    """A blister on either limb, and a note; one hold was lifted, which the phone may not know."""
    from homeprogram.models import Episode, Hold
    from homeprogram.services.holds import hold_lift
    from homeprogram.services.pairing import release_key_of
    from tests.entries import skin
    from tests.support.pushes import push_at

    today = {"for_date": now.date().isoformat()}
    for episode in Episode.objects.filter(patient=patient):
        of = {"episode_id": str(episode.id)}
        push_at(phone, now, phone.entry("skin_check", skin(broken=True), **of, **today))
    note = {"text": "Is this red all right?", "wants_contact": True}
    push_at(phone, now, phone.entry("note_to_clinic", note, **today))
    release_key_of(phone=phone.row)
    one = Hold.objects.filter(patient=patient)[:1]
    hold_lift(patient=patient, by=patient.clinician, holds=one, reason="healed", now=now)


def _written_at_the_desk(patient, revision, then: datetime, now: datetime) -> None:
    from clinician.services.opt_outs import reminders_stop
    from homeprogram.services.programs import program_pause
    from homeprogram.services.settings import patient_rules_set
    from tests.support.desk import make_contact
    from tests.support.notes import make_note, make_review
    from tests.support.prescribing import make_limit, make_strength_test
    from tests.support.reminding import agreed

    by, episode, program = patient.clinician, revision.program.episode, revision.program
    day = then.date()
    make_strength_test(episode, by, now, said={"cleared_on": day})
    make_limit(episode, by, now)
    program_pause(program=program, by=by, reason="travel", now=then, last_day=day)
    make_contact(patient, by, now, outcome="call_back")
    agreed(patient, by, now)
    reminders_stop(patient=patient, ways=["email"], now=now)
    own = {"missed_in_a_row": 4}
    patient_rules_set(patient=patient, rules=own, reason="travels", by=by, now=now)
    make_note(patient, by, now)
    make_review(patient, by, now)


def _lent_and_seen(patient, revision, then: datetime, now: datetime) -> None:
    """One stimulator at home that burned, one given back, six visits that read its counter."""
    from clinician.services.lending import loan_return
    from clinician.services.visits import CounterSeen
    from tests.support.desk import make_incident, make_loan, make_own, make_visit, seen_bout

    by, episode, profile = patient.clinician, revision.program.episode, revision.stimulator
    profile.counter = "hours"
    profile.save(update_fields=["counter"])
    own = make_loan(patient, by, then).stimulator
    loan_return(loan=make_loan(patient, by, then, make_own(by, then, "KN-02")), by=by, now=now)
    for hours in range(100, 106):
        bout = seen_bout(patient.clinic, now - HOUR) if hours == 105 else None
        counter = CounterSeen(profile=profile, own=own, value=hours)
        make_visit(episode, by, now, counter=counter, bout=bout)
    make_incident(patient, by, now, episode=episode, stimulator=own)


def _flags_answered(patient, now: datetime) -> None:
    """One looked after, one that waits, the others closed."""
    from homeprogram.models import Flag
    from homeprogram.services.flag_acts import flag_close, flag_see

    by, flags = patient.clinician, Flag.objects.filter(patient=patient, state="open")
    looked_after, *others, _unseen = flags.order_by("safety", "reason")
    flag_see(flag=looked_after, by=by, now=now)
    for flag in others:
        flag_close(flag=flag, by=by, now=now, reason="called", outcome="acted_on")
