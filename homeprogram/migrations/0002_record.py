"""The record's tables. In place of eighteen migrations from before the first release."""

import uuid

import django.db.models.deletion
from django.conf import settings
from django.core.management.commands.createcachetable import Command
from django.db import migrations, models
from django.utils import timezone

from homeprogram.migrations._append_only import append_only
from homeprogram.migrations._tables import CreateTables

THROTTLE = "homeprogram_throttle"


def draw_identity(apps, schema_editor):
    identity = apps.get_model("homeprogram", "LogIdentity")
    identity.objects.create(id=1, identity=uuid.uuid4(), drawn_at=timezone.now())


def create_throttle_table(apps, schema_editor):
    """The table of Django's database cache, made here so that `migrate` is enough."""
    command = Command()
    command.verbosity = 0
    command.create_table(schema_editor.connection.alias, THROTTLE, dry_run=False)


def drop_throttle_table(apps, schema_editor):
    schema_editor.execute(f"DROP TABLE {THROTTLE}")


class Migration(migrations.Migration):
    initial = True
    replaces = [
        ("homeprogram", "0002_append_only"),
        ("homeprogram", "0003_prescribing"),
        ("homeprogram", "0004_consent_helper"),
        ("homeprogram", "0005_throttle_table"),
        ("homeprogram", "0006_revision_details"),
        ("homeprogram", "0007_clinic_course"),
        ("homeprogram", "0008_phone_losses"),
        ("homeprogram", "0009_release_key_and_note_reading"),
        ("homeprogram", "0010_strength_evoked_at"),
        ("homeprogram", "0011_flag_life_and_settings"),
        ("homeprogram", "0012_subscription"),
        ("homeprogram", "0013_flags_next_at"),
        ("homeprogram", "0014_visits"),
        ("homeprogram", "0015_decisions"),
        ("homeprogram", "0016_tell_tempos_again"),
        ("homeprogram", "0017_pause_return"),
        ("homeprogram", "0018_clinic_closed_days"),
        ("homeprogram", "0019_supervised_before_a_program"),
    ]

    dependencies = [("homeprogram", "0001_user")]

    operations = [
        CreateTables(
            migrations.CreateModel(
                name="Clinic",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    ("name", models.CharField(max_length=120)),
                    ("phone_number", models.CharField(max_length=40)),
                    ("hours", models.CharField(max_length=200)),
                    ("out_of_hours", models.CharField(max_length=300)),
                    ("emergency_number", models.CharField(max_length=20)),
                    ("zone", models.CharField(default="UTC", max_length=64)),
                    ("rules", models.JSONField(blank=True, default=dict)),
                    ("course", models.JSONField(blank=True, default=dict)),
                    ("texts", models.JSONField(blank=True, default=dict)),
                    ("settings", models.JSONField(blank=True, default=dict)),
                    ("closed_days", models.JSONField(blank=True, default=list)),
                    ("created_at", models.DateTimeField()),
                ],
                options={
                    "abstract": False,
                },
            ),
            migrations.CreateModel(
                name="PairingTry",
                fields=[
                    (
                        "id",
                        models.BigAutoField(
                            auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                        ),
                    ),
                    ("address_hash", models.CharField(max_length=64)),
                    ("tried_at", models.DateTimeField(db_index=True)),
                ],
            ),
            migrations.CreateModel(
                name="Clinician",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "user",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="clinician",
                            to=settings.AUTH_USER_MODEL,
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="clinicians",
                            to="homeprogram.clinic",
                        ),
                    ),
                    ("name", models.CharField(max_length=120)),
                    (
                        "role",
                        models.CharField(
                            choices=[("clinician", "Clinician"), ("lead", "Lead")],
                            default="clinician",
                            max_length=12,
                        ),
                    ),
                    ("active", models.BooleanField(default=True)),
                    ("invited_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("role__in", ["clinician", "lead"])),
                            name="clinician_role_is_known",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="ClinicFamily",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="families",
                            to="homeprogram.clinic",
                        ),
                    ),
                    ("name", models.CharField(max_length=80)),
                    ("values", models.JSONField()),
                    ("source", models.CharField(max_length=300)),
                    (
                        "created_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("created_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.UniqueConstraint(
                            fields=("clinic", "name"), name="clinic_family_name_once"
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="LogIdentity",
                fields=[
                    (
                        "id",
                        models.PositiveSmallIntegerField(
                            default=1, primary_key=True, serialize=False
                        ),
                    ),
                    ("identity", models.UUIDField()),
                    ("drawn_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("id", 1)), name="log_identity_is_single"
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="Patient",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="patients",
                            to="homeprogram.clinic",
                        ),
                    ),
                    ("name", models.CharField(max_length=120)),
                    ("born_on", models.DateField(blank=True, null=True)),
                    ("telephone", models.CharField(blank=True, max_length=40)),
                    ("zone", models.CharField(max_length=64)),
                    (
                        "clinician",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="patients",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("rules", models.JSONField(blank=True, default=dict)),
                    ("log_version", models.PositiveBigIntegerField(default=0)),
                    ("reviewed_at", models.DateTimeField(blank=True, null=True)),
                    ("created_at", models.DateTimeField()),
                    ("archived_at", models.DateTimeField(blank=True, null=True)),
                    ("flags_next_at", models.DateTimeField(blank=True, null=True)),
                ],
                options={
                    "indexes": [
                        models.Index(
                            condition=models.Q(("archived_at", None)),
                            fields=["flags_next_at"],
                            name="patient_flags_next",
                        ),
                        models.Index(
                            condition=models.Q(("archived_at", None)),
                            fields=["clinic"],
                            name="patient_current_of_clinic",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Episode",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="episodes",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "limb",
                        models.CharField(
                            choices=[("left", "Left"), ("right", "Right")], max_length=5
                        ),
                    ),
                    (
                        "pathway",
                        models.CharField(
                            choices=[
                                ("pre_operative", "before surgery"),
                                ("post_operative", "after surgery"),
                                ("conservative", "no surgery planned"),
                            ],
                            max_length=16,
                        ),
                    ),
                    ("procedure", models.CharField(blank=True, max_length=160)),
                    ("surgery_on", models.DateField(blank=True, null=True)),
                    ("surgeon_limits", models.CharField(blank=True, max_length=500)),
                    ("starts_on", models.DateField()),
                    ("ended_on", models.DateField(blank=True, null=True)),
                    ("created_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("limb__in", ["left", "right"])),
                            name="episode_limb_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("pathway__in", ["pre_operative", "post_operative", "conservative"])
                            ),
                            name="episode_pathway_is_known",
                        ),
                        models.UniqueConstraint(
                            condition=models.Q(("ended_on", None)),
                            fields=("patient", "limb"),
                            name="episode_one_per_limb",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("ended_on", None),
                                ("ended_on__gte", models.F("starts_on")),
                                _connector="OR",
                            ),
                            name="episode_not_ended_before_start",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("pathway", "post_operative"), _negated=True),
                                ("surgery_on__isnull", False),
                                _connector="OR",
                            ),
                            name="episode_after_surgery_has_a_date",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Flag",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="flags",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="flags",
                            to="homeprogram.episode",
                        ),
                    ),
                    ("reason", models.CharField(max_length=30)),
                    ("rule_version", models.PositiveSmallIntegerField()),
                    ("safety", models.BooleanField()),
                    (
                        "state",
                        models.CharField(
                            choices=[
                                ("open", "Open"),
                                ("closed", "Closed"),
                                ("cleared", "Cleared"),
                            ],
                            default="open",
                            max_length=8,
                        ),
                    ),
                    ("count", models.PositiveIntegerField(default=1)),
                    ("fact_at", models.DateTimeField()),
                    ("basis", models.JSONField()),
                    ("opened_at", models.DateTimeField()),
                    ("waits_since", models.DateTimeField(blank=True, null=True)),
                    ("seen_at", models.DateTimeField(blank=True, null=True)),
                    (
                        "seen_by",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    (
                        "outcome",
                        models.CharField(
                            blank=True,
                            choices=[
                                ("acted_on", "acted on"),
                                ("nothing_needed", "looked at, nothing needed"),
                                ("wrong", "wrong: it should not have been raised"),
                            ],
                            default="",
                            max_length=14,
                        ),
                    ),
                    ("closed_at", models.DateTimeField(blank=True, null=True)),
                    (
                        "closed_by",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("close_reason", models.CharField(blank=True, max_length=300)),
                ],
                options={
                    "indexes": [
                        models.Index(
                            condition=models.Q(("state", "open")),
                            fields=["clinic"],
                            name="flag_open_of_clinic",
                        )
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("state__in", ["open", "closed", "cleared"])),
                            name="flag_state_is_known",
                        ),
                        models.UniqueConstraint(
                            condition=models.Q(("episode__isnull", False)),
                            fields=("patient", "episode", "reason"),
                            name="flag_one_card_per_limb_and_reason",
                        ),
                        models.UniqueConstraint(
                            condition=models.Q(("episode", None)),
                            fields=("patient", "reason"),
                            name="flag_one_card_per_patient_and_reason",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("state", "closed"), _negated=True),
                                models.Q(
                                    ("closed_by__isnull", False),
                                    models.Q(("close_reason", ""), _negated=True),
                                ),
                                _connector="OR",
                            ),
                            name="flag_closed_by_somebody_with_a_reason",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("safety", True), _negated=True),
                                models.Q(("state", "cleared"), _negated=True),
                                _connector="OR",
                            ),
                            name="flag_for_safety_never_clears_itself",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("outcome", ""),
                                ("outcome__in", ["acted_on", "nothing_needed", "wrong"]),
                                _connector="OR",
                            ),
                            name="flag_outcome_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("seen_at", None), ("seen_by", None)),
                                models.Q(("seen_at__isnull", False), ("seen_by__isnull", False)),
                                _connector="OR",
                            ),
                            name="flag_seen_by_somebody",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="PairingCode",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="pairing_codes",
                            to="homeprogram.patient",
                        ),
                    ),
                    ("code_hash", models.CharField(max_length=64, unique=True)),
                    ("link_hash", models.CharField(max_length=64, unique=True)),
                    ("replaces", models.BooleanField(default=True)),
                    (
                        "created_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("created_at", models.DateTimeField()),
                    ("expires_at", models.DateTimeField()),
                    ("used_at", models.DateTimeField(blank=True, null=True)),
                    ("standing", models.BooleanField(default=False)),
                ],
                options={
                    "abstract": False,
                },
            ),
            migrations.CreateModel(
                name="Lift",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="lifts",
                            to="homeprogram.patient",
                        ),
                    ),
                    ("reason", models.CharField(max_length=300)),
                    (
                        "lifted_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("lifted_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("reason", ""), _negated=True),
                            name="lift_has_a_reason",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="HomeProgram",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="programs",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "episode",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="program",
                            to="homeprogram.episode",
                        ),
                    ),
                    ("ended_on", models.DateField(blank=True, null=True)),
                    ("end_reason", models.CharField(blank=True, max_length=300)),
                    ("created_at", models.DateTimeField()),
                ],
                options={
                    "abstract": False,
                },
            ),
            migrations.CreateModel(
                name="FlagEvent",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "flag",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="events",
                            to="homeprogram.flag",
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.patient",
                        ),
                    ),
                    ("reason", models.CharField(max_length=30)),
                    ("rule_version", models.PositiveSmallIntegerField()),
                    (
                        "deed",
                        models.CharField(
                            choices=[
                                ("seen", "seen"),
                                ("closed", "closed"),
                                ("remark", "remark"),
                                ("cleared", "cleared by itself"),
                            ],
                            max_length=7,
                        ),
                    ),
                    (
                        "outcome",
                        models.CharField(
                            blank=True,
                            choices=[
                                ("acted_on", "acted on"),
                                ("nothing_needed", "looked at, nothing needed"),
                                ("wrong", "wrong: it should not have been raised"),
                            ],
                            default="",
                            max_length=14,
                        ),
                    ),
                    ("words", models.CharField(blank=True, max_length=300)),
                    (
                        "by",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("opened_at", models.DateTimeField()),
                    ("at", models.DateTimeField()),
                ],
                options={
                    "indexes": [models.Index(fields=["clinic", "at"], name="flag_event_of_clinic")],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                ("deed__in", ["seen", "closed", "remark", "cleared"])
                            ),
                            name="flag_event_deed_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(
                                    ("deed", "closed"),
                                    ("outcome__in", ["acted_on", "nothing_needed", "wrong"]),
                                ),
                                models.Q(
                                    models.Q(("deed", "closed"), _negated=True), ("outcome", "")
                                ),
                                _connector="OR",
                            ),
                            name="flag_event_closed_with_an_outcome",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("by", None), ("deed", "cleared")),
                                models.Q(
                                    models.Q(("deed", "cleared"), _negated=True),
                                    ("by__isnull", False),
                                ),
                                _connector="OR",
                            ),
                            name="flag_event_by_somebody",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Decision",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinic",
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="decisions",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.episode",
                        ),
                    ),
                    (
                        "kind",
                        models.CharField(
                            choices=[
                                ("program", "home program assigned"),
                                ("revision", "dose changed"),
                                ("pause", "paused"),
                                ("pause_end", "pause ended"),
                                ("lift", "hold lifted"),
                                ("end", "episode ended"),
                                ("reopen", "episode re-opened"),
                                ("review", "weekly review"),
                                ("note", "note signed"),
                                ("addendum", "note added to"),
                            ],
                            max_length=9,
                        ),
                    ),
                    ("words", models.CharField(blank=True, max_length=400)),
                    ("about", models.UUIDField(blank=True, null=True)),
                    (
                        "by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("at", models.DateTimeField()),
                ],
                options={
                    "indexes": [models.Index(fields=["patient", "at"], name="decision_of_patient")],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "kind__in",
                                    [
                                        "program",
                                        "revision",
                                        "pause",
                                        "pause_end",
                                        "lift",
                                        "end",
                                        "reopen",
                                        "review",
                                        "note",
                                        "addendum",
                                    ],
                                )
                            ),
                            name="decision_kind_is_known",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="Consent",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="consents",
                            to="homeprogram.patient",
                        ),
                    ),
                    ("given_on", models.DateField()),
                    ("guardian_name", models.CharField(blank=True, max_length=120)),
                    ("helper_name", models.CharField(blank=True, max_length=120)),
                    (
                        "recorded_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("recorded_at", models.DateTimeField()),
                    ("withdrawn_on", models.DateField(blank=True, null=True)),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                ("withdrawn_on", None),
                                ("withdrawn_on__gte", models.F("given_on")),
                                _connector="OR",
                            ),
                            name="consent_not_withdrawn_before_given",
                        ),
                        models.UniqueConstraint(
                            condition=models.Q(("withdrawn_on", None)),
                            fields=("patient",),
                            name="consent_one_in_force",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Change",
                fields=[
                    (
                        "id",
                        models.BigAutoField(
                            auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="changes",
                            to="homeprogram.patient",
                        ),
                    ),
                    ("version", models.PositiveBigIntegerField()),
                    (
                        "type",
                        models.CharField(
                            choices=[
                                ("texts", "Texts"),
                                ("program", "Program"),
                                ("hold", "Hold"),
                                ("lift", "Lift"),
                                ("entry", "Entry"),
                                ("entry_state", "Entry State"),
                                ("strength_test", "Strength Test"),
                            ],
                            max_length=14,
                        ),
                    ),
                    ("object_id", models.UUIDField()),
                ],
                options={
                    "constraints": [
                        models.UniqueConstraint(
                            fields=("patient", "version"), name="change_version_once"
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "type__in",
                                    [
                                        "texts",
                                        "program",
                                        "hold",
                                        "lift",
                                        "entry",
                                        "entry_state",
                                        "strength_test",
                                    ],
                                )
                            ),
                            name="change_type_is_known",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="PatientDay",
                fields=[
                    (
                        "id",
                        models.BigAutoField(
                            auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="days",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="days",
                            to="homeprogram.episode",
                        ),
                    ),
                    ("day", models.DateField()),
                    ("bouts_done", models.PositiveSmallIntegerField(default=0)),
                    ("bouts_partial", models.PositiveSmallIntegerField(default=0)),
                    ("contractions", models.PositiveIntegerField(default=0)),
                    ("minutes", models.FloatField(default=0)),
                    ("at_floor", models.PositiveSmallIntegerField(default=0)),
                    ("not_done", models.PositiveSmallIntegerField(default=0)),
                    ("excused", models.BooleanField(default=False)),
                    ("last_received_at", models.DateTimeField(null=True)),
                ],
                options={
                    "indexes": [
                        models.Index(fields=["clinic", "day"], name="patient_day_clinic_day")
                    ],
                    "constraints": [
                        models.UniqueConstraint(fields=("episode", "day"), name="patient_day_once")
                    ],
                },
            ),
            migrations.CreateModel(
                name="Pause",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "program",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="pauses",
                            to="homeprogram.homeprogram",
                        ),
                    ),
                    ("first_day", models.DateField()),
                    ("last_day", models.DateField(blank=True, null=True)),
                    (
                        "reason",
                        models.CharField(
                            choices=[
                                ("flare_up", "flare-up"),
                                ("illness", "Illness"),
                                ("readmission", "back in hospital"),
                                ("travel", "Travel"),
                                ("surgery_review", "waiting for the surgeon"),
                                ("other", "Other"),
                            ],
                            max_length=20,
                        ),
                    ),
                    (
                        "return_contractions_pct",
                        models.PositiveSmallIntegerField(blank=True, null=True),
                    ),
                    ("return_current_pct", models.PositiveSmallIntegerField(blank=True, null=True)),
                    ("safety", models.BooleanField(default=False)),
                    ("note", models.CharField(blank=True, max_length=300)),
                    (
                        "created_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("created_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "reason__in",
                                    [
                                        "flare_up",
                                        "illness",
                                        "readmission",
                                        "travel",
                                        "surgery_review",
                                        "other",
                                    ],
                                )
                            ),
                            name="pause_reason_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("return_contractions_pct__gte", 10),
                                ("return_contractions_pct__lte", 100),
                            ),
                            name="pause_returns_to_10_to_100_pct_of_bout",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("return_current_pct__gte", 10), ("return_current_pct__lte", 100)
                            ),
                            name="pause_returns_to_10_to_100_pct_of_current",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("last_day", None),
                                ("last_day__gte", models.F("first_day")),
                                _connector="OR",
                            ),
                            name="pause_not_over_before_it_starts",
                        ),
                        models.UniqueConstraint(
                            condition=models.Q(("last_day", None)),
                            fields=("program",),
                            name="pause_one_open_per_program",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Phone",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="phones",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "code",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="phones",
                            to="homeprogram.pairingcode",
                        ),
                    ),
                    ("label", models.CharField(max_length=60)),
                    ("token_hash", models.CharField(max_length=64, unique=True)),
                    (
                        "state",
                        models.CharField(
                            choices=[
                                ("waiting", "waiting for the clinic"),
                                ("active", "Active"),
                                ("replaced", "Replaced"),
                                ("stolen", "lost or stolen"),
                            ],
                            default="waiting",
                            max_length=10,
                        ),
                    ),
                    (
                        "confirmed_by",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("created_at", models.DateTimeField()),
                    ("confirmed_at", models.DateTimeField(blank=True, null=True)),
                    ("revoked_at", models.DateTimeField(blank=True, null=True)),
                    ("release_key", models.CharField(blank=True, max_length=64, null=True)),
                    ("last_contact_at", models.DateTimeField(blank=True, null=True)),
                    ("build", models.CharField(blank=True, max_length=40)),
                    ("high", models.PositiveIntegerField(default=0)),
                    ("clock_offset_ms", models.BigIntegerField(blank=True, null=True)),
                    ("claim_at", models.DateTimeField(blank=True, null=True)),
                    ("claimed_to", models.PositiveIntegerField(default=0)),
                    ("losses", models.JSONField(blank=True, default=list)),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                ("state__in", ["waiting", "active", "replaced", "stolen"])
                            ),
                            name="phone_state_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("state", "active"), _negated=True),
                                ("confirmed_at__isnull", False),
                                _connector="OR",
                            ),
                            name="phone_active_only_when_confirmed",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="HeldEntry",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="held_entries",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "phone",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="held_entries",
                            to="homeprogram.phone",
                        ),
                    ),
                    ("entry_id", models.UUIDField(null=True)),
                    ("number", models.PositiveIntegerField(null=True)),
                    ("for_date", models.DateField(null=True)),
                    ("raw", models.TextField()),
                    ("sha256", models.CharField(max_length=64)),
                    ("code", models.CharField(max_length=40)),
                    ("message", models.CharField(max_length=300)),
                    ("received_at", models.DateTimeField()),
                    ("version", models.PositiveBigIntegerField()),
                    ("settled_at", models.DateTimeField(blank=True, null=True)),
                    (
                        "settled_by",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("settled_note", models.CharField(blank=True, max_length=300)),
                ],
                options={
                    "constraints": [
                        models.UniqueConstraint(
                            fields=("phone", "sha256"), name="held_once_per_phone"
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="PushSubscription",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="subscriptions",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "phone",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="subscription",
                            to="homeprogram.phone",
                        ),
                    ),
                    ("endpoint", models.CharField(blank=True, max_length=2000)),
                    ("p256dh", models.CharField(blank=True, max_length=88)),
                    ("auth", models.CharField(blank=True, max_length=24)),
                    ("created_at", models.DateTimeField()),
                    ("last_ok_at", models.DateTimeField(blank=True, null=True)),
                    ("failures", models.PositiveIntegerField(default=0)),
                    ("failed_why", models.CharField(blank=True, max_length=20)),
                    ("ended_at", models.DateTimeField(blank=True, null=True)),
                    (
                        "ended_why",
                        models.CharField(
                            blank=True,
                            choices=[
                                ("", "it is not"),
                                ("turned_off", "turned off on the phone"),
                                ("gone", "the push service knows it no more"),
                                ("revoked", "the phone's access ended"),
                                ("moved", "the same browser was paired anew"),
                            ],
                            default="",
                            max_length=10,
                        ),
                    ),
                ],
                options={
                    "indexes": [
                        models.Index(
                            condition=models.Q(("ended_at", None)),
                            fields=["patient"],
                            name="subscription_of_patient",
                        )
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                ("ended_why__in", ["", "turned_off", "gone", "revoked", "moved"])
                            ),
                            name="subscription_end_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(
                                    ("ended_at", None),
                                    ("ended_why", ""),
                                    models.Q(("endpoint", ""), _negated=True),
                                ),
                                models.Q(
                                    ("auth", ""),
                                    ("ended_at__isnull", False),
                                    ("endpoint", ""),
                                    ("p256dh", ""),
                                    models.Q(("ended_why", ""), _negated=True),
                                ),
                                _connector="OR",
                            ),
                            name="subscription_reaches_only_while_it_lasts",
                        ),
                        models.UniqueConstraint(
                            condition=models.Q(("ended_at", None)),
                            fields=("endpoint",),
                            name="subscription_rings_one_phone",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Screening",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="screenings",
                            to="homeprogram.episode",
                        ),
                    ),
                    ("on", models.DateField()),
                    (
                        "occasion",
                        models.CharField(
                            choices=[
                                ("first", "before the first program"),
                                ("readmission", "after a stay in hospital"),
                                ("restart", "before starting again"),
                                ("stop_report", "after a stop report"),
                                ("change_told", "something changed, the patient says"),
                                ("other", "other"),
                            ],
                            max_length=12,
                        ),
                    ),
                    ("answers", models.JSONField()),
                    (
                        "outcome",
                        models.CharField(
                            choices=[
                                ("clear", "Clear"),
                                ("with_precautions", "with precautions"),
                                ("do_not_use", "do not use"),
                            ],
                            max_length=16,
                        ),
                    ),
                    (
                        "recorded_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("recorded_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                ("outcome__in", ["clear", "with_precautions", "do_not_use"])
                            ),
                            name="screening_outcome_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "occasion__in",
                                    [
                                        "first",
                                        "readmission",
                                        "restart",
                                        "stop_report",
                                        "change_told",
                                        "other",
                                    ],
                                )
                            ),
                            name="screening_occasion_is_known",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="SettingChange",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "kind",
                        models.CharField(
                            choices=[
                                ("texts", "texts"),
                                ("rules", "thresholds"),
                                ("course", "course"),
                                ("settings", "clinic"),
                                ("staff", "staff"),
                                ("roster", "roster"),
                            ],
                            max_length=8,
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="setting_changes",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "person",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("before", models.JSONField()),
                    ("after", models.JSONField()),
                    ("reason", models.CharField(blank=True, max_length=300)),
                    (
                        "by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("at", models.DateTimeField()),
                ],
                options={
                    "indexes": [
                        models.Index(fields=["clinic", "at"], name="setting_change_of_clinic")
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "kind__in",
                                    ["texts", "rules", "course", "settings", "staff", "roster"],
                                )
                            ),
                            name="setting_change_kind_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("patient", None),
                                models.Q(("reason", ""), _negated=True),
                                _connector="OR",
                            ),
                            name="setting_change_for_a_patient_says_why",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="StimulatorProfile",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    ("name", models.CharField(max_length=80)),
                    ("channels", models.PositiveSmallIntegerField(default=2)),
                    (
                        "unit",
                        models.CharField(
                            choices=[("mA", "Ma"), ("level", "Level")], default="mA", max_length=5
                        ),
                    ),
                    ("max_intensity", models.FloatField()),
                    ("min_frequency_hz", models.FloatField()),
                    ("max_frequency_hz", models.FloatField()),
                    ("max_phase_duration_us", models.FloatField()),
                    (
                        "waveform",
                        models.CharField(
                            choices=[
                                ("monophasic", "Monophasic"),
                                ("symmetric_biphasic", "symmetric biphasic"),
                                ("asymmetric_biphasic", "asymmetric balanced biphasic"),
                                ("burst_ac", "burst-modulated alternating current"),
                            ],
                            default="symmetric_biphasic",
                            max_length=20,
                        ),
                    ),
                    (
                        "counter",
                        models.CharField(
                            blank=True,
                            choices=[("hours", "Hours"), ("bouts", "Bouts")],
                            max_length=5,
                        ),
                    ),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("unit__in", ["mA", "level"])),
                            name="stimulator_unit_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "waveform__in",
                                    [
                                        "monophasic",
                                        "symmetric_biphasic",
                                        "asymmetric_biphasic",
                                        "burst_ac",
                                    ],
                                )
                            ),
                            name="stimulator_waveform_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("channels__gte", 1), ("channels__lte", 8)),
                            name="stimulator_channels_1_to_8",
                        ),
                        models.UniqueConstraint(
                            fields=("clinic", "name"), name="stimulator_name_once"
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Revision",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "program",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="revisions",
                            to="homeprogram.homeprogram",
                        ),
                    ),
                    ("number", models.PositiveSmallIntegerField()),
                    ("first_day", models.DateField()),
                    ("reason", models.CharField(max_length=300)),
                    ("family", models.CharField(blank=True, max_length=60)),
                    (
                        "stimulator",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.stimulatorprofile",
                        ),
                    ),
                    ("weekdays", models.JSONField()),
                    ("bouts_per_day", models.PositiveSmallIntegerField()),
                    ("minimum_gap_h", models.FloatField(default=3)),
                    ("contractions_per_bout", models.PositiveSmallIntegerField()),
                    ("bout_min", models.FloatField()),
                    (
                        "waveform",
                        models.CharField(
                            choices=[
                                ("monophasic", "Monophasic"),
                                ("symmetric_biphasic", "symmetric biphasic"),
                                ("asymmetric_biphasic", "asymmetric balanced biphasic"),
                                ("burst_ac", "burst-modulated alternating current"),
                            ],
                            max_length=20,
                        ),
                    ),
                    ("frequency_hz", models.FloatField()),
                    ("phase_duration_us", models.FloatField()),
                    ("on_s", models.FloatField()),
                    ("off_s", models.FloatField()),
                    ("ramp_up_s", models.FloatField()),
                    ("ramp_down_s", models.FloatField()),
                    ("ramps_inside_on", models.BooleanField(default=True)),
                    ("electrode_cm2", models.FloatField()),
                    ("intensity", models.JSONField()),
                    ("voluntary_in_off", models.BooleanField(default=False)),
                    ("knee_angle_deg", models.FloatField(blank=True, null=True)),
                    ("knee_range", models.CharField(blank=True, max_length=40)),
                    ("position", models.CharField(max_length=120)),
                    ("pads", models.JSONField()),
                    ("exercises", models.JSONField()),
                    ("details", models.JSONField(blank=True, null=True)),
                    (
                        "created_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("created_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.UniqueConstraint(
                            fields=("program", "number"), name="revision_number_once"
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "waveform__in",
                                    [
                                        "monophasic",
                                        "symmetric_biphasic",
                                        "asymmetric_biphasic",
                                        "burst_ac",
                                    ],
                                )
                            ),
                            name="revision_waveform_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("bouts_per_day__gte", 1), ("bouts_per_day__lte", 6)
                            ),
                            name="revision_bouts_1_to_6",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("contractions_per_bout__gte", 1),
                                ("contractions_per_bout__lte", 600),
                            ),
                            name="revision_contractions_1_to_600",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("on_s__gte", 1), ("on_s__lte", 60)),
                            name="revision_on_time_1_to_60_s",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("off_s__gte", 1), ("off_s__lte", 300)),
                            name="revision_off_time_1_to_300_s",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("frequency_hz__gte", 1), ("frequency_hz__lte", 200)
                            ),
                            name="revision_frequency_1_to_200_hz",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("phase_duration_us__gte", 20), ("phase_duration_us__lte", 1000)
                            ),
                            name="revision_phase_20_to_1000_us",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("knee_angle_deg__isnull", False),
                                models.Q(("knee_range", ""), _negated=True),
                                _connector="OR",
                            ),
                            name="revision_states_the_knee_angle",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Entry",
                fields=[
                    (
                        "id",
                        models.BigAutoField(
                            auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="entries",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "phone",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="entries",
                            to="homeprogram.phone",
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.episode",
                        ),
                    ),
                    (
                        "revision",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.revision",
                        ),
                    ),
                    ("entry_id", models.UUIDField()),
                    ("number", models.PositiveIntegerField()),
                    (
                        "kind",
                        models.CharField(
                            choices=[
                                ("bout", "Bout"),
                                ("skin_check", "skin check"),
                                ("not_done", "not done"),
                                ("morning_check", "morning check"),
                                ("stop_report", "stop report"),
                                ("note_to_clinic", "note to the clinic"),
                                ("correction", "Correction"),
                                ("withdrawal", "Withdrawal"),
                            ],
                            max_length=16,
                        ),
                    ),
                    ("schema", models.PositiveSmallIntegerField()),
                    ("for_date", models.DateField()),
                    ("local_time", models.CharField(max_length=19)),
                    ("offset_min", models.SmallIntegerField()),
                    ("zone", models.CharField(max_length=64)),
                    ("device_ms", models.BigIntegerField()),
                    ("clock_changed", models.BooleanField(default=False)),
                    ("clock_offset_ms", models.BigIntegerField(null=True)),
                    ("logged_by", models.JSONField()),
                    ("of", models.UUIDField(null=True)),
                    ("payload", models.JSONField()),
                    ("raw", models.TextField()),
                    ("sha256", models.CharField(max_length=64)),
                    ("received_at", models.DateTimeField()),
                    ("version", models.PositiveBigIntegerField()),
                ],
                options={
                    "indexes": [
                        models.Index(fields=["patient", "for_date"], name="entry_patient_day"),
                        models.Index(
                            fields=["patient", "received_at"], name="entry_patient_received"
                        ),
                        models.Index(
                            condition=models.Q(("of__isnull", False)),
                            fields=["patient", "of"],
                            name="entry_patient_of",
                        ),
                    ],
                    "constraints": [
                        models.UniqueConstraint(
                            fields=("patient", "entry_id"), name="entry_once_per_patient"
                        ),
                        models.UniqueConstraint(
                            fields=("phone", "number"), name="entry_number_once_per_phone"
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "kind__in",
                                    [
                                        "bout",
                                        "skin_check",
                                        "not_done",
                                        "morning_check",
                                        "stop_report",
                                        "note_to_clinic",
                                        "correction",
                                        "withdrawal",
                                    ],
                                )
                            ),
                            name="entry_kind_is_known",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="NoteReading",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="note_readings",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "entry",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="reading",
                            to="homeprogram.entry",
                        ),
                    ),
                    (
                        "read_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("read_at", models.DateTimeField()),
                ],
                options={
                    "abstract": False,
                },
            ),
            migrations.CreateModel(
                name="Hold",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="holds",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="holds",
                            to="homeprogram.episode",
                        ),
                    ),
                    (
                        "entry",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="hold",
                            to="homeprogram.entry",
                        ),
                    ),
                    (
                        "scope",
                        models.CharField(
                            choices=[("limb", "this limb"), ("all", "everything")], max_length=4
                        ),
                    ),
                    ("reason", models.CharField(max_length=40)),
                    ("first_day", models.DateField()),
                    ("placed_at", models.DateTimeField()),
                    (
                        "lift",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="holds",
                            to="homeprogram.lift",
                        ),
                    ),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("scope__in", ["limb", "all"])),
                            name="hold_scope_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("scope", "limb"), _negated=True),
                                ("episode__isnull", False),
                                _connector="OR",
                            ),
                            name="hold_of_a_limb_names_it",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Bout",
                fields=[
                    (
                        "id",
                        models.BigAutoField(
                            auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                        ),
                    ),
                    (
                        "entry",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="bout",
                            to="homeprogram.entry",
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="bouts",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="bouts",
                            to="homeprogram.episode",
                        ),
                    ),
                    (
                        "revision",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.revision",
                        ),
                    ),
                    ("for_date", models.DateField()),
                    ("minutes", models.FloatField()),
                    ("contractions", models.PositiveSmallIntegerField()),
                    ("complete", models.BooleanField()),
                    ("discomfort", models.PositiveSmallIntegerField()),
                    ("knee_pain_before", models.PositiveSmallIntegerField()),
                    ("knee_pain_after", models.PositiveSmallIntegerField()),
                    ("intensity", models.JSONField()),
                    ("at_floor", models.BooleanField(null=True)),
                    ("over_ceiling", models.BooleanField(default=False)),
                    ("ended_early", models.CharField(blank=True, max_length=20)),
                ],
                options={
                    "indexes": [
                        models.Index(fields=["episode", "for_date"], name="bout_episode_day")
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("discomfort__gte", 0), ("discomfort__lte", 10)),
                            name="bout_discomfort_0_to_10",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("knee_pain_before__gte", 0), ("knee_pain_before__lte", 10)
                            ),
                            name="bout_pain_before_0_to_10",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("knee_pain_after__gte", 0), ("knee_pain_after__lte", 10)
                            ),
                            name="bout_pain_after_0_to_10",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="RevisionOnPhone",
                fields=[
                    (
                        "id",
                        models.BigAutoField(
                            auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "revision",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="on_phone",
                            to="homeprogram.revision",
                        ),
                    ),
                    (
                        "phone",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.phone",
                        ),
                    ),
                    ("named_at", models.DateTimeField()),
                    ("named_on", models.DateField()),
                ],
            ),
            migrations.CreateModel(
                name="SkinCheck",
                fields=[
                    (
                        "id",
                        models.BigAutoField(
                            auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                        ),
                    ),
                    (
                        "entry",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="skin_check",
                            to="homeprogram.entry",
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="skin_checks",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="skin_checks",
                            to="homeprogram.episode",
                        ),
                    ),
                    ("for_date", models.DateField()),
                    ("moment", models.CharField(max_length=12)),
                    ("grade", models.PositiveSmallIntegerField()),
                    ("itchy", models.BooleanField()),
                    ("pads", models.JSONField()),
                ],
                options={
                    "indexes": [
                        models.Index(fields=["episode", "for_date"], name="skin_check_episode_day")
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("grade__gte", 0), ("grade__lte", 4)),
                            name="skin_check_grade_0_to_4",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="StimulatorSetting",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "revision",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="settings",
                            to="homeprogram.revision",
                        ),
                    ),
                    ("set_at", models.DateTimeField()),
                    (
                        "set_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("note", models.CharField(blank=True, max_length=300)),
                ],
                options={
                    "abstract": False,
                },
            ),
            migrations.CreateModel(
                name="StrengthTest",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="strength_tests",
                            to="homeprogram.episode",
                        ),
                    ),
                    ("on", models.DateField()),
                    ("maximal", models.BooleanField()),
                    ("cleared_on", models.DateField(blank=True, null=True)),
                    ("knee_angle_deg", models.FloatField(blank=True, null=True)),
                    ("request", models.JSONField(blank=True, default=dict)),
                    ("result", models.JSONField(blank=True, default=dict)),
                    ("evoked_at", models.JSONField(blank=True, null=True)),
                    (
                        "observed_contraction",
                        models.CharField(
                            blank=True,
                            choices=[
                                ("none", "None"),
                                ("flicker", "Flicker"),
                                ("sustained", "Sustained"),
                                ("moves_patella", "moves the patella"),
                            ],
                            max_length=14,
                        ),
                    ),
                    ("flexion_deg", models.FloatField(blank=True, null=True)),
                    ("extension_deg", models.FloatField(blank=True, null=True)),
                    ("extension_lag_deg", models.FloatField(blank=True, null=True)),
                    ("swelling", models.CharField(blank=True, max_length=40)),
                    ("knee_pain", models.PositiveSmallIntegerField(blank=True, null=True)),
                    ("questionnaire", models.CharField(blank=True, max_length=60)),
                    ("questionnaire_score", models.FloatField(blank=True, null=True)),
                    ("shared_at", models.DateTimeField(blank=True, null=True)),
                    (
                        "recorded_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("recorded_at", models.DateTimeField()),
                ],
                options={
                    "indexes": [
                        models.Index(fields=["episode", "on"], name="strength_test_episode_day")
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                ("maximal", False),
                                models.Q(
                                    ("cleared_on__isnull", False), ("knee_angle_deg__isnull", False)
                                ),
                                _connector="OR",
                            ),
                            name="strength_test_maximal_is_cleared_at_an_angle",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("knee_pain__gte", 0), ("knee_pain__lte", 10)),
                            name="strength_test_pain_0_to_10",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="SurgeonLimit",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="limits",
                            to="homeprogram.episode",
                        ),
                    ),
                    (
                        "kind",
                        models.CharField(
                            choices=[
                                ("weight_bearing", "weight-bearing"),
                                ("range_of_motion", "range of motion"),
                                ("brace", "Brace"),
                                ("graft", "Graft"),
                                ("meniscal_repair", "meniscal repair"),
                                ("extensor_repair", "extensor repair"),
                                ("movement", "movement with the current on is allowed"),
                                ("maximal_test", "maximal strength test is allowed"),
                            ],
                            max_length=16,
                        ),
                    ),
                    ("detail", models.CharField(max_length=200)),
                    ("said_by", models.CharField(max_length=120)),
                    ("first_day", models.DateField()),
                    ("last_day", models.DateField(blank=True, null=True)),
                    ("from_deg", models.FloatField(blank=True, null=True)),
                    ("to_deg", models.FloatField(blank=True, null=True)),
                    (
                        "recorded_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("recorded_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "kind__in",
                                    [
                                        "weight_bearing",
                                        "range_of_motion",
                                        "brace",
                                        "graft",
                                        "meniscal_repair",
                                        "extensor_repair",
                                        "movement",
                                        "maximal_test",
                                    ],
                                )
                            ),
                            name="surgeon_limit_kind_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("last_day", None),
                                ("last_day__gte", models.F("first_day")),
                                _connector="OR",
                            ),
                            name="surgeon_limit_not_over_before_it_starts",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("from_deg", None), ("to_deg", None)),
                                ("to_deg__gte", models.F("from_deg")),
                                _connector="OR",
                            ),
                            name="surgeon_limit_angles_in_order",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Visit",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="visits",
                            to="homeprogram.episode",
                        ),
                    ),
                    (
                        "kind",
                        models.CharField(
                            choices=[
                                ("clinic", "at the clinic"),
                                ("home", "at home"),
                                ("telephone", "by telephone"),
                            ],
                            max_length=10,
                        ),
                    ),
                    ("on", models.DateField()),
                    ("note", models.CharField(blank=True, max_length=2000)),
                    ("measures", models.JSONField(blank=True, default=dict)),
                    (
                        "replaces",
                        models.OneToOneField(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="replaced_by",
                            to="homeprogram.visit",
                        ),
                    ),
                    (
                        "recorded_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("recorded_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("kind__in", ["clinic", "home", "telephone"])),
                            name="visit_kind_is_known",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="SupervisedBout",
                fields=[
                    (
                        "id",
                        models.UUIDField(
                            default=uuid.uuid4, editable=False, primary_key=True, serialize=False
                        ),
                    ),
                    (
                        "clinic",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT, to="homeprogram.clinic"
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="supervised_bouts",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="supervised_bouts",
                            to="homeprogram.episode",
                        ),
                    ),
                    (
                        "visit",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="bout",
                            to="homeprogram.visit",
                        ),
                    ),
                    (
                        "revision",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.revision",
                        ),
                    ),
                    (
                        "stimulator",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.stimulatorprofile",
                        ),
                    ),
                    ("on", models.DateField()),
                    ("started_at", models.DateTimeField()),
                    ("minutes", models.FloatField()),
                    ("contractions", models.PositiveSmallIntegerField()),
                    ("intensity", models.JSONField()),
                    (
                        "contraction",
                        models.CharField(
                            choices=[
                                ("none", "None"),
                                ("flicker", "Flicker"),
                                ("sustained", "Sustained"),
                                ("moves_patella", "moves the patella"),
                            ],
                            max_length=14,
                        ),
                    ),
                    ("discomfort", models.PositiveSmallIntegerField()),
                    ("skin_before", models.PositiveSmallIntegerField()),
                    ("skin_after", models.PositiveSmallIntegerField()),
                    ("on_phone", models.BooleanField(default=False)),
                ],
                options={
                    "indexes": [
                        models.Index(fields=["patient", "on"], name="supervised_bout_patient_day")
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "contraction__in",
                                    ["none", "flicker", "sustained", "moves_patella"],
                                )
                            ),
                            name="supervised_contraction_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("discomfort__gte", 0), ("discomfort__lte", 10)),
                            name="supervised_discomfort_0_to_10",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("skin_before__gte", 0), ("skin_before__lte", 4)),
                            name="supervised_skin_before_0_to_4",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("skin_after__gte", 0), ("skin_after__lte", 4)),
                            name="supervised_skin_after_0_to_4",
                        ),
                    ],
                },
            ),
        ),
        append_only(
            "homeprogram_entry",
            "homeprogram_revision",
            "homeprogram_screening",
            "homeprogram_flagevent",
            "homeprogram_settingchange",
            "homeprogram_visit",
            "homeprogram_supervisedbout",
            "homeprogram_decision",
        ),
        migrations.RunPython(draw_identity, migrations.RunPython.noop),
        migrations.RunPython(create_throttle_table, drop_throttle_table),
    ]
