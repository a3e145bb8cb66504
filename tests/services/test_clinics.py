"""A clinic, its people, and the name of its log."""

from datetime import date, timedelta

import pytest
from django.db import connection
from django.utils import timezone

from homeprogram.errors import RuleBroken
from homeprogram.models import Clinic, LogIdentity, StimulatorProfile, User
from homeprogram.selectors.plans import context_of
from homeprogram.selectors.record import clinician_of_user, log_identity
from homeprogram.services.changes import texts_announce
from homeprogram.services.clinics import (
    clinic_create,
    clinic_rules_set,
    clinician_deactivate,
    clinician_invite,
    clinician_role_set,
    log_identity_draw,
)
from homeprogram.services.patients import patient_add
from tests.conftest import make_clinic, make_clinician
from tests.support.concurrency import at_once, committed
from tests.support.pushes import push_at


def test_a_clinic_starts_with_stimulator_profiles_and_nobody_in_it(clinic):
    assert StimulatorProfile.objects.filter(clinic=clinic).count() == 3
    assert not clinic.clinicians.exists()


def test_a_clinic_needs_a_zone_that_exists(db, now):
    with pytest.raises(RuleBroken) as refusal:
        clinic_create(
            name="Larkrise",
            phone_number="1",
            hours="8 to 17",
            out_of_hours="2",
            emergency_number="112",
            zone="Middle/Earth",
            now=now,
        )

    assert list(refusal.value.fields) == ["zone"]
    assert not Clinic.objects.exists()


def test_an_invited_clinician_cannot_sign_in_yet(clinic, now):
    clinician = clinician_invite(clinic=clinic, email="New@Larkrise.example", name="New", now=now)

    assert clinician.user.email == "new@larkrise.example"
    assert not clinician.user.has_usable_password()


@pytest.mark.parametrize("email", ["ro@larkrise.example", "RO@larkrise.example"])
def test_an_address_signs_in_once(clinician, outsider, now, email):
    with pytest.raises(RuleBroken) as refusal:
        clinician_invite(clinic=outsider.clinic, email=email, name="Ro", now=now)

    assert (refusal.value.code, list(refusal.value.fields)) == ("email_taken", ["email"])
    assert User.objects.count() == 2


def test_a_clinician_who_left_is_nobody_here(clinician, lead, now):
    clinician_deactivate(clinician=clinician, by=lead, now=now)

    assert clinician_of_user(user=clinician.user) is None
    assert not User.objects.get(email="ro@larkrise.example").is_active


def test_nobody_ends_their_own_access(lead, now):
    with pytest.raises(RuleBroken) as refusal:
        clinician_deactivate(clinician=lead, by=lead, now=now)

    assert refusal.value.code == "own_access"
    assert clinician_of_user(user=lead.user) == lead


def test_a_clinic_may_set_its_own_thresholds(clinic, clinician, now):
    clinic_rules_set(clinic=clinic, rules={"no_contact_h": 72}, by=clinician, now=now)

    assert Clinic.objects.get().rules == {"no_contact_h": 72}


@pytest.mark.parametrize(
    "rules",
    [
        {"no_such": 1},
        {"no_contact_h": "72"},
        {"no_contact_h": 1},
        {"no_contact_h": True},
        {"skin_any_grade": 4},
        {"missed_of_last": 8},
        {"under_dose_days": 2},
        {"under_dose_share": float("nan")},
    ],
    ids=str,
)
def test_thresholds_that_would_stop_every_push_are_refused(clinic, clinician, rules, now):
    with pytest.raises(RuleBroken) as refusal:
        clinic_rules_set(clinic=clinic, rules=rules, by=clinician, now=now)

    assert refusal.value.code == "rules_invalid"
    assert Clinic.objects.get().rules == {}


def test_new_texts_are_told_to_every_patient_of_the_clinic_and_no_other(
    clinic, patient, clinician, outsider, now
):
    patient_add(by=clinician, name="Odd Other", now=now)
    far = patient_add(by=outsider, name="Una Far", now=now)

    texts_announce(clinic=clinic)

    mine = clinic.patients.values_list("log_version", flat=True)
    far.refresh_from_db()
    assert (list(mine), far.log_version) == ([2, 2], 1)


def test_a_log_has_one_identity_until_another_is_drawn(db, now):
    first, again = log_identity(), log_identity()

    drawn = log_identity_draw(now=now)

    assert first == again != drawn.identity
    assert log_identity() == drawn.identity
    assert LogIdentity.objects.count() == 1


def test_under_a_new_log_no_day_is_missed_until_the_phone_has_spoken_to_it(
    phone, revision, patient, now
):
    push_at(phone, now, have=[revision.id])
    later = now + timedelta(days=4)
    push_at(phone, later, claim=True)
    tuesday = date(2030, 3, 5)

    def status() -> str:
        context = context_of(patient=patient, now=later, days_back=28)
        return str(context.days(context.episodes[0], tuesday, tuesday)[0].status)

    before = status()
    log_identity_draw(now=later)
    drawn = status()
    push_at(phone, later, claim=True)

    assert (before, drawn, status()) == ("missed", "not_known_yet", "missed")


def test_a_role_changes_while_a_lead_is_left(clinician, lead, now):
    clinician_role_set(clinician=clinician, role="lead", by=lead, now=now)
    clinician_role_set(clinician=lead, role="clinician", by=lead, now=now)

    with pytest.raises(RuleBroken) as refusal:
        clinician_role_set(clinician=clinician, role="clinician", by=clinician, now=now)

    assert refusal.value.code == "last_lead"


def test_the_only_lead_is_not_shut_out(clinician, lead, now):
    with pytest.raises(RuleBroken) as refusal:
        clinician_deactivate(clinician=lead, by=clinician, now=now)

    assert refusal.value.code == "last_lead"
    assert clinician_of_user(user=lead.user) == lead


def test_a_lead_who_never_set_a_password_does_not_lead(clinic, lead, now):
    clinician_invite(
        clinic=clinic, email="tess@larkrise.example", name="Tess", role="lead", now=now, by=lead
    )

    with pytest.raises(RuleBroken) as refusal:
        clinician_role_set(clinician=lead, role="clinician", by=lead, now=now)

    assert refusal.value.code == "last_lead"


@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite lets one writer in at a time")
def test_of_two_leads_who_step_down_at_once_one_stays(django_db_setup, django_db_blocker):
    with committed(django_db_blocker):
        now = timezone.now()
        clinic = make_clinic(now)
        leads = [
            make_clinician(clinic, f"{name}@larkrise.example", now, role="lead", name=name)
            for name in ("Ines", "Una")
        ]

        came = at_once(
            2,
            lambda n: clinician_role_set(
                clinician=leads[n], role="clinician", by=leads[n], now=now
            ),
        )

        assert sorted(str(getattr(one, "code", one)) for one in came) == ["None", "last_lead"]
        assert clinic.clinicians.filter(role="lead").count() == 1
