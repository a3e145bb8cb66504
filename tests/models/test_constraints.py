"""What must never be is refused by the database itself, services or not.

Each case writes straight to the tables and names the constraint that stops it;
the last test fails when a constraint is added without a case.
"""

import uuid
from datetime import date, timedelta

import pytest
from django.apps import apps
from django.db import IntegrityError, transaction
from django.db.models import CheckConstraint, UniqueConstraint

from homeprogram import models as m
from tests.entries import BOUT, skin
from tests.support.pushes import push_at

MARCH = date(2030, 3, 1)
FEBRUARY = date(2030, 2, 1)


@pytest.fixture
def world(phone, revision, episode, clinician, now):
    """One good row of every table."""
    program = {"episode_id": str(episode.id), "revision_id": str(revision.id)}
    push_at(
        phone,
        now,
        phone.entry("bout", BOUT, **program),
        phone.entry("skin_check", skin(raised=True), **program),
        phone.entry("song", {}),
        have=[revision.id],
    )
    by = {"clinic": episode.clinic, "recorded_by": clinician, "recorded_at": now}
    made = {"clinic": episode.clinic, "created_by": clinician, "created_at": now}
    m.Consent.objects.create(patient=episode.patient, given_on=MARCH, **by)
    visit = m.Visit.objects.create(episode=episode, kind="home", on=MARCH, **by)
    m.SupervisedBout.objects.create(
        clinic=episode.clinic, patient=episode.patient, episode=episode, visit=visit,
        stimulator=revision.stimulator, on=MARCH, started_at=now, minutes=15, contractions=15,
        intensity=[], contraction="sustained", discomfort=3, skin_before=0, skin_after=0,
    )  # fmt: skip
    m.PushSubscription.objects.create(
        clinic=episode.clinic, patient=episode.patient, phone=m.Phone.objects.get(),
        endpoint="https://push.example/1", p256dh="key", auth="secret", created_at=now,
    )  # fmt: skip
    m.PhotoAgreement.objects.create(patient=episode.patient, of_age=True, **by)
    m.SkinPhoto.objects.create(
        clinic=episode.clinic, patient=episode.patient, phone=m.Phone.objects.get(),
        entry=m.Entry.objects.get(kind="skin_check"), photo_id=uuid.uuid4(), sealed=b"1",
        taken_at=now, received_at=now, log_version=1,
    )  # fmt: skip
    m.Pause.objects.create(program=revision.program, first_day=MARCH, reason="illness", **made)
    m.Lift.objects.create(
        clinic=episode.clinic, patient=episode.patient, reason="ok", lifted_by=clinician,
        lifted_at=now,
    )  # fmt: skip
    m.Screening.objects.create(
        episode=episode, on=MARCH, occasion="first", answers={}, outcome="clear", **by
    )
    m.SurgeonLimit.objects.create(
        episode=episode, kind="brace", detail="locked", said_by="surgeon", first_day=MARCH, **by
    )
    m.StrengthTest.objects.create(episode=episode, on=MARCH, maximal=False, **by)
    m.ClinicFamily.objects.create(name="Ours", values={}, source="our own", **made)
    m.FlagEvent.objects.create(
        clinic=episode.clinic, patient=episode.patient, flag=m.Flag.objects.first(), at=now,
        reason="pads_due", rule_version=1, deed="seen", by=clinician, opened_at=now,
    )  # fmt: skip
    m.SettingChange.objects.create(
        clinic=episode.clinic,
        kind="rules",
        before={},
        after={},
        by=clinician,
        at=now,
        patient=episode.patient,
        reason="a cold",
    )
    return now


def changed(model, **values):
    """UPDATE the good rows to something that must not be."""
    return lambda now: model.objects.update(**values)


def copied(model, where=None, **values):
    """INSERT a good row again, with a new key and these values."""

    def insert(now) -> None:
        row = model.objects.filter(**where or {}).values().order_by("pk").first()
        key = uuid.uuid4() if row.pop("id").__class__ is uuid.UUID else None
        model.objects.create(**({"id": key} if key else {}) | row | values)

    return insert


def rung_by_two_phones(now) -> None:
    """A second phone of the same patient gives the address of the first."""
    copied(m.Phone, token_hash="other")(now)
    copied(m.PushSubscription, phone_id=m.Phone.objects.get(subscription=None).pk)(now)


NEW = {"entry_id": uuid.uuid4(), "number": 99}
CASES = {
    "log_identity_is_single": copied(m.LogIdentity, id=2),
    "clinician_role_is_known": changed(m.Clinician, role="owner"),
    "consent_not_withdrawn_before_given": changed(m.Consent, withdrawn_on=FEBRUARY),
    "consent_one_in_force": copied(m.Consent),
    "episode_limb_is_known": changed(m.Episode, limb="arm"),
    "episode_pathway_is_known": changed(m.Episode, pathway="home"),
    "episode_one_per_limb": copied(m.Episode),
    "episode_not_ended_before_start": changed(m.Episode, ended_on=FEBRUARY),
    "episode_after_surgery_has_a_date": changed(m.Episode, pathway="post_operative"),
    "phone_state_is_known": changed(m.Phone, state="lost"),
    "phone_active_only_when_confirmed": changed(m.Phone, confirmed_at=None),
    "stimulator_unit_is_known": changed(m.StimulatorProfile, unit="V"),
    "stimulator_waveform_is_known": changed(m.StimulatorProfile, waveform="square"),
    "stimulator_channels_1_to_8": changed(m.StimulatorProfile, channels=9),
    "stimulator_name_once": copied(m.StimulatorProfile),
    "revision_number_once": copied(m.Revision),
    "revision_waveform_is_known": copied(m.Revision, number=2, waveform="square"),
    "revision_bouts_1_to_6": copied(m.Revision, number=2, bouts_per_day=0),
    "revision_contractions_1_to_600": copied(m.Revision, number=2, contractions_per_bout=601),
    "revision_on_time_1_to_60_s": copied(m.Revision, number=2, on_s=0.9),
    "revision_off_time_1_to_300_s": copied(m.Revision, number=2, off_s=300.1),
    "revision_frequency_1_to_200_hz": copied(m.Revision, number=2, frequency_hz=201),
    "revision_phase_20_to_1000_us": copied(m.Revision, number=2, phase_duration_us=19),
    "revision_states_the_knee_angle": copied(m.Revision, number=2, knee_angle_deg=None),
    "pause_returns_to_10_to_100_pct_of_bout": changed(m.Pause, return_contractions_pct=120),
    "pause_returns_to_10_to_100_pct_of_current": changed(m.Pause, return_current_pct=5),
    "pause_reason_is_known": changed(m.Pause, reason="mood"),
    "pause_not_over_before_it_starts": changed(m.Pause, last_day=FEBRUARY),
    "pause_one_open_per_program": copied(m.Pause),
    "visit_kind_is_known": copied(m.Visit, kind="dream"),
    "supervised_contraction_is_known": copied(m.SupervisedBout, contraction="leap"),
    "supervised_discomfort_0_to_10": copied(m.SupervisedBout, discomfort=11),
    "supervised_skin_before_0_to_4": copied(m.SupervisedBout, skin_before=5),
    "supervised_skin_after_0_to_4": copied(m.SupervisedBout, skin_after=5),
    "subscription_end_is_known": changed(m.PushSubscription, ended_why="bored"),
    "subscription_reaches_only_while_it_lasts": changed(m.PushSubscription, ended_why="gone"),
    "subscription_rings_one_phone": rung_by_two_phones,
    "photo_agreement_one_in_force": copied(m.PhotoAgreement),
    "photo_agreement_of_a_minor_has_a_guardian": changed(m.PhotoAgreement, of_age=False),
    "photo_agreement_end_names_who": lambda now: m.PhotoAgreement.objects.update(ended_at=now),
    "photo_once_per_patient": copied(m.SkinPhoto),
    "photo_gone_why_is_known": lambda now: m.SkinPhoto.objects.update(
        sealed=None, gone_at=now, gone_why="bored"
    ),
    "photo_gone_keeps_nothing": lambda now: m.SkinPhoto.objects.update(gone_at=now, gone_why="age"),
    "photo_removed_by_the_clinic_says_who_and_why": lambda now: m.SkinPhoto.objects.update(
        sealed=None, gone_at=now, gone_why="clinic"
    ),
    "entry_once_per_patient": copied(m.Entry, number=99),
    "entry_number_once_per_phone": copied(m.Entry, entry_id=uuid.uuid4()),
    "entry_kind_is_known": copied(m.Entry, kind="song", **NEW),
    "held_once_per_phone": copied(m.HeldEntry),
    "change_version_once": copied(m.Change),
    "change_type_is_known": copied(m.Change, version=99, type="rumour"),
    "flag_state_is_known": changed(m.Flag, state="asleep"),
    "flag_one_card_per_limb_and_reason": copied(m.Flag, {"episode__isnull": False}),
    "flag_one_card_per_patient_and_reason": lambda now: [
        copied(m.Flag, episode_id=None, reason="no_contact")(now) for _ in range(2)
    ],
    "flag_closed_by_somebody_with_a_reason": changed(m.Flag, state="closed"),
    "flag_for_safety_never_clears_itself": lambda now: m.Flag.objects.filter(safety=True).update(
        state="cleared"
    ),
    "flag_outcome_is_known": changed(m.Flag, outcome="bored"),
    "flag_seen_by_somebody": lambda now: m.Flag.objects.update(seen_at=now),
    "decision_kind_is_known": copied(m.Decision, kind="whim"),
    "flag_event_deed_is_known": copied(m.FlagEvent, deed="hidden"),
    "flag_event_closed_with_an_outcome": copied(m.FlagEvent, deed="closed"),
    "flag_event_by_somebody": copied(m.FlagEvent, by_id=None),
    "setting_change_kind_is_known": copied(m.SettingChange, kind="mood"),
    "setting_change_for_a_patient_says_why": copied(m.SettingChange, reason=""),
    "lift_has_a_reason": changed(m.Lift, reason=""),
    "hold_scope_is_known": changed(m.Hold, scope="arm"),
    "hold_of_a_limb_names_it": changed(m.Hold, episode=None),
    "bout_discomfort_0_to_10": changed(m.Bout, discomfort=11),
    "bout_pain_before_0_to_10": changed(m.Bout, knee_pain_before=11),
    "bout_pain_after_0_to_10": changed(m.Bout, knee_pain_after=11),
    "skin_check_grade_0_to_4": changed(m.SkinCheck, grade=5),
    "patient_day_once": copied(m.PatientDay),
    "screening_outcome_is_known": copied(m.Screening, outcome="fine"),
    "screening_occasion_is_known": copied(m.Screening, occasion="boredom"),
    "surgeon_limit_kind_is_known": changed(m.SurgeonLimit, kind="mood"),
    "surgeon_limit_not_over_before_it_starts": changed(m.SurgeonLimit, last_day=FEBRUARY),
    "surgeon_limit_angles_in_order": changed(m.SurgeonLimit, from_deg=90, to_deg=0),
    "strength_test_maximal_is_cleared_at_an_angle": changed(m.StrengthTest, maximal=True),
    "strength_test_pain_0_to_10": changed(m.StrengthTest, knee_pain=11),
    "clinic_family_name_once": copied(m.ClinicFamily),
}


@pytest.mark.parametrize("name", CASES)
def test_the_database_refuses_it(world, name):
    with pytest.raises(IntegrityError) as refusal, transaction.atomic():
        CASES[name](world)

    assert name in str(refusal.value) or unique_columns(name) <= set(str(refusal.value).split())


def unique_columns(name: str) -> set[str]:
    """SQLite names the columns of a broken uniqueness, not the constraint."""
    for model in apps.get_app_config("homeprogram").get_models():
        for constraint in model._meta.constraints:
            if constraint.name == name and isinstance(constraint, UniqueConstraint):
                columns = [model._meta.get_field(f).column for f in constraint.fields]
                said = [f"{model._meta.db_table}.{column}" for column in columns]
                return {*(f"{one}," for one in said[:-1]), said[-1]}
    return {"not a uniqueness"}


def test_a_good_copy_of_each_unchanging_row_is_taken(world):
    """So that the cases above fail for the reason they name."""
    copied(m.Revision, number=2)(world)
    copied(m.Entry, **NEW)(world)
    copied(m.Change, version=99)(world)
    copied(m.HeldEntry, sha256="0" * 64)(world)
    copied(m.Pause, last_day=MARCH + timedelta(days=1))(world)
    copied(m.Consent, withdrawn_on=MARCH)(world)
    copied(m.Episode, limb="right")(world)
    copied(m.Screening)(world)
    copied(m.FlagEvent)(world)
    copied(m.SettingChange)(world)

    assert m.Revision.objects.count() == 2


def test_every_constraint_has_a_case():
    declared = {
        constraint.name
        for model in apps.get_app_config("homeprogram").get_models()
        for constraint in model._meta.constraints
        if isinstance(constraint, CheckConstraint | UniqueConstraint)
    }

    assert declared == set(CASES)


def test_every_row_belongs_to_a_clinic():
    without = {
        model.__name__
        for model in apps.get_app_config("homeprogram").get_models()
        if "clinic" not in {field.name for field in model._meta.fields}
    }

    assert without == {"Clinic", "User", "LogIdentity", "PairingTry"}


def test_nothing_clinical_is_removed_with_what_it_hangs_on():
    cascading = {
        f"{model.__name__}.{field.name}"
        for model in apps.get_app_config("homeprogram").get_models()
        for field in model._meta.fields
        if field.remote_field and field.remote_field.on_delete.__name__ != "PROTECT"
    }

    assert cascading == set()


def test_a_rows_text_holds_no_name(patient, clinician, phone):
    said = [str(row) for row in (patient, clinician, clinician.user, phone.row)]

    assert not [text for text in said if "Wilma" in text or "@" in text or "Ro" in text]
