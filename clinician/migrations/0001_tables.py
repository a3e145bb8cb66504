"""The desk's own tables. In place of twelve migrations from before the first release."""

import uuid

import django.db.models.deletion
from django.db import migrations, models

from homeprogram.migrations._append_only import append_only
from homeprogram.migrations._tables import CreateTables


class Migration(migrations.Migration):
    initial = True
    replaces = [
        ("clinician", "0001_draft"),
        ("clinician", "0002_reminders"),
        ("clinician", "0003_review_and_notes"),
        ("clinician", "0004_duty"),
        ("clinician", "0005_contact"),
        ("clinician", "0006_lending"),
        ("clinician", "0007_reminder_quiet_hours"),
        ("clinician", "0008_counter_reading"),
        ("clinician", "0009_saved_view_and_handover"),
        ("clinician", "0010_discharge"),
        ("clinician", "0011_incidents"),
        ("clinician", "0012_tell_closed_days"),
    ]

    dependencies = [("homeprogram", "0002_record")]

    operations = [
        CreateTables(
            migrations.CreateModel(
                name="Heartbeat",
                fields=[
                    ("job", models.CharField(max_length=40, primary_key=True, serialize=False)),
                    ("beat_at", models.DateTimeField()),
                    ("every_s", models.PositiveIntegerField()),
                    ("did", models.CharField(blank=True, max_length=120)),
                    ("failed", models.PositiveIntegerField(default=0)),
                    ("took_ms", models.PositiveIntegerField(default=0)),
                ],
            ),
            migrations.CreateModel(
                name="Reminder",
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
                            related_name="reminders",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "kind",
                        models.CharField(
                            choices=[("due", "reminder"), ("contact", "contact request")],
                            max_length=8,
                        ),
                    ),
                    ("day", models.DateField()),
                    ("due_at", models.DateTimeField()),
                    ("until", models.DateTimeField()),
                    (
                        "way",
                        models.CharField(
                            choices=[
                                ("push", "notice on the phone"),
                                ("email", "e-mail"),
                                ("text", "text message"),
                            ],
                            max_length=5,
                        ),
                    ),
                    ("wording", models.CharField(max_length=16)),
                    (
                        "outcome",
                        models.CharField(
                            choices=[
                                ("claimed", "being sent"),
                                ("later", "to be tried again"),
                                ("sent", "sent"),
                                ("unknown", "not known whether it went out"),
                                ("failed", "could not be delivered"),
                                ("dropped", "no longer needed"),
                                ("stopped", "stopped by the patient"),
                            ],
                            default="claimed",
                            max_length=8,
                        ),
                    ),
                    ("tries", models.PositiveSmallIntegerField(default=1)),
                    ("claimed_at", models.DateTimeField()),
                    ("lease_until", models.DateTimeField()),
                    ("retry_at", models.DateTimeField(null=True)),
                    ("ended_at", models.DateTimeField(null=True)),
                    ("why", models.CharField(blank=True, max_length=40)),
                    (
                        "by",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                ],
                options={
                    "indexes": [
                        models.Index(
                            condition=models.Q(("outcome__in", ("claimed", "later"))),
                            fields=["lease_until"],
                            name="reminder_unfinished",
                        ),
                        models.Index(fields=["patient", "due_at"], name="reminder_of_patient"),
                        models.Index(fields=["clinic", "due_at"], name="reminder_of_clinic"),
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("way__in", ["push", "email", "text"])),
                            name="reminder_way_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("kind__in", ["due", "contact"])),
                            name="reminder_kind_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "outcome__in",
                                    [
                                        "claimed",
                                        "later",
                                        "sent",
                                        "unknown",
                                        "failed",
                                        "dropped",
                                        "stopped",
                                    ],
                                )
                            ),
                            name="reminder_outcome_is_known",
                        ),
                        models.UniqueConstraint(
                            condition=models.Q(
                                ("outcome__in", ("claimed", "later", "sent", "unknown"))
                            ),
                            fields=("patient", "day"),
                            name="reminder_one_a_day",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="OptOut",
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
                            related_name="opt_outs",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "way",
                        models.CharField(
                            choices=[
                                ("push", "notice on the phone"),
                                ("email", "e-mail"),
                                ("text", "text message"),
                            ],
                            max_length=5,
                        ),
                    ),
                    ("at", models.DateTimeField()),
                    (
                        "reminder",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="clinician.reminder",
                        ),
                    ),
                    (
                        "told_to",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("ended_at", models.DateTimeField(null=True)),
                    (
                        "ended_by",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                ],
                options={
                    "indexes": [models.Index(fields=["clinic", "at"], name="opt_out_of_clinic")],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("way__in", ["push", "email", "text"])),
                            name="opt_out_way_is_known",
                        ),
                        models.UniqueConstraint(
                            condition=models.Q(("ended_at", None)),
                            fields=("patient", "way"),
                            name="opt_out_once_in_force",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="ReminderSetting",
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
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="reminder_setting",
                            to="homeprogram.patient",
                        ),
                    ),
                    ("on", models.BooleanField(default=False)),
                    ("times", models.JSONField(default=list)),
                    ("ways", models.JSONField(default=list)),
                    ("email", models.EmailField(blank=True, max_length=254)),
                    ("mobile", models.CharField(blank=True, max_length=20)),
                    ("language", models.CharField(default="en", max_length=5)),
                    ("since", models.DateTimeField()),
                    (
                        "set_by",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("next_at", models.DateTimeField(null=True)),
                ],
                options={
                    "indexes": [
                        models.Index(
                            condition=models.Q(("next_at__isnull", False)),
                            fields=["next_at"],
                            name="reminder_setting_next",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="Review",
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
                            related_name="reviews",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "reviewed_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("reviewed_at", models.DateTimeField()),
                    ("since", models.PositiveBigIntegerField()),
                    ("up_to", models.PositiveBigIntegerField()),
                    (
                        "outcome",
                        models.CharField(
                            choices=[
                                ("carry_on", "Carry On"),
                                ("change_dose", "Change Dose"),
                                ("contact", "Contact"),
                                ("re_test", "Re-test"),
                                ("pause", "Pause"),
                                ("end", "End"),
                            ],
                            max_length=12,
                        ),
                    ),
                    ("shown", models.JSONField()),
                ],
                options={
                    "indexes": [
                        models.Index(fields=["patient", "reviewed_at"], name="review_of_patient")
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "outcome__in",
                                    [
                                        "carry_on",
                                        "change_dose",
                                        "contact",
                                        "re_test",
                                        "pause",
                                        "end",
                                    ],
                                )
                            ),
                            name="review_outcome_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("up_to__gte", models.F("since"))),
                            name="review_never_goes_back",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="SavedView",
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
                        "clinician",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="saved_view",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("choice", models.JSONField()),
                    ("saved_at", models.DateTimeField()),
                ],
                options={
                    "abstract": False,
                },
            ),
            migrations.CreateModel(
                name="SignedNote",
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
                        "signed_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("signer_name", models.CharField(max_length=120)),
                    ("signer_role", models.CharField(max_length=12)),
                    ("signed_at", models.DateTimeField()),
                    ("zone", models.CharField(max_length=64)),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="signed_notes",
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
                    ("about_on", models.DateField()),
                    ("late", models.BooleanField()),
                    ("subjective", models.TextField(blank=True, max_length=4000)),
                    ("objective", models.TextField(blank=True, max_length=4000)),
                    ("assessment", models.TextField(max_length=4000)),
                    ("plan", models.TextField(max_length=4000)),
                    ("drawn", models.JSONField()),
                ],
                options={
                    "indexes": [
                        models.Index(fields=["patient", "signed_at"], name="note_of_patient")
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("assessment", ""), _negated=True),
                                models.Q(("plan", ""), _negated=True),
                            ),
                            name="note_says_what_is_thought_and_done",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="Addendum",
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
                        "signed_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("signer_name", models.CharField(max_length=120)),
                    ("signer_role", models.CharField(max_length=12)),
                    ("signed_at", models.DateTimeField()),
                    ("zone", models.CharField(max_length=64)),
                    (
                        "note",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="addenda",
                            to="clinician.signednote",
                        ),
                    ),
                    ("text", models.TextField(max_length=4000)),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("text", ""), _negated=True),
                            name="addendum_says_something",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="StaffMail",
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
                        "clinician",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="mails",
                            to="homeprogram.clinician",
                        ),
                    ),
                    (
                        "kind",
                        models.CharField(
                            choices=[
                                ("digest", "weekly digest"),
                                ("safety", "safety flag"),
                                ("opt_outs", "many patients stopped reminders"),
                            ],
                            max_length=8,
                        ),
                    ),
                    ("key", models.CharField(max_length=80)),
                    ("claimed_at", models.DateTimeField()),
                    ("lease_until", models.DateTimeField()),
                    ("tries", models.PositiveSmallIntegerField(default=1)),
                    ("sent_at", models.DateTimeField(null=True)),
                ],
                options={
                    "indexes": [
                        models.Index(
                            condition=models.Q(("sent_at", None)),
                            fields=["lease_until"],
                            name="staff_mail_unsent",
                        )
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("kind__in", ["digest", "safety", "opt_outs"])),
                            name="staff_mail_kind_is_known",
                        ),
                        models.UniqueConstraint(
                            fields=("clinician", "kind", "key"),
                            name="staff_mail_once_for_one_reason",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="StaffMailSetting",
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
                        "clinician",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="mail_setting",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("digest", models.BooleanField(default=False)),
                ],
                options={
                    "abstract": False,
                },
            ),
            migrations.CreateModel(
                name="Stimulator",
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
                        "profile",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.stimulatorprofile",
                        ),
                    ),
                    ("asset_number", models.CharField(max_length=40)),
                    ("leads", models.CharField(blank=True, max_length=120)),
                    ("checked_on", models.DateField(blank=True, null=True)),
                    ("check_due_on", models.DateField(blank=True, null=True)),
                    ("cleaned_at", models.DateTimeField(blank=True, null=True)),
                    ("quarantined_at", models.DateTimeField(blank=True, null=True)),
                    ("quarantine_reason", models.CharField(blank=True, max_length=300)),
                    ("retired_at", models.DateTimeField(blank=True, null=True)),
                    ("created_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.UniqueConstraint(
                            fields=("clinic", "asset_number"), name="asset_number_once"
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("quarantined_at", None),
                                models.Q(("quarantine_reason", ""), _negated=True),
                                _connector="OR",
                            ),
                            name="asset_quarantine_has_a_reason",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Incident",
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
                            related_name="incidents",
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
                                ("burn", "burn or skin injury"),
                                ("fall", "Fall"),
                                ("fault", "fault of the stimulator, leads or pads"),
                                ("other", "Other"),
                            ],
                            max_length=5,
                        ),
                    ),
                    ("happened_at", models.DateTimeField()),
                    (
                        "near",
                        models.CharField(
                            choices=[
                                ("during", "during a bout"),
                                ("after", "within a day of a bout"),
                                ("else", "not near a bout"),
                                ("unknown", "not known"),
                            ],
                            max_length=7,
                        ),
                    ),
                    ("place", models.CharField(blank=True, max_length=120)),
                    ("facts", models.CharField(max_length=2000)),
                    ("harm", models.CharField(blank=True, max_length=500)),
                    ("done", models.CharField(blank=True, max_length=500)),
                    ("skin_grade", models.PositiveSmallIntegerField(blank=True, null=True)),
                    ("told_by", models.CharField(max_length=120)),
                    ("who_was_told", models.CharField(blank=True, max_length=300)),
                    (
                        "stimulator",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="incidents",
                            to="clinician.stimulator",
                        ),
                    ),
                    ("stimulator_told", models.CharField(blank=True, max_length=120)),
                    ("pads", models.CharField(blank=True, max_length=200)),
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
                    ("parameters", models.JSONField(blank=True, default=list)),
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
                        models.Index(fields=["clinic", "happened_at"], name="incident_of_clinic")
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("kind__in", ["burn", "fall", "fault", "other"])),
                            name="incident_kind_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("near__in", ["during", "after", "else", "unknown"])
                            ),
                            name="incident_near_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("skin_grade__gte", 0), ("skin_grade__lte", 4)),
                            name="incident_skin_grade_0_to_4",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("facts", ""), _negated=True),
                            name="incident_says_what_happened",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="IncidentSupplement",
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
                        "incident",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="supplements",
                            to="clinician.incident",
                        ),
                    ),
                    ("text", models.CharField(max_length=1000)),
                    ("who_was_told", models.CharField(blank=True, max_length=300)),
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
                    "abstract": False,
                },
            ),
            migrations.CreateModel(
                name="Loan",
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
                        "stimulator",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="loans",
                            to="clinician.stimulator",
                        ),
                    ),
                    (
                        "patient",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="loans",
                            to="homeprogram.patient",
                        ),
                    ),
                    ("went_with", models.CharField(blank=True, max_length=200)),
                    ("lent_at", models.DateTimeField()),
                    (
                        "lent_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("due_back_on", models.DateField()),
                    ("override_reason", models.CharField(blank=True, max_length=300)),
                    ("returned_at", models.DateTimeField(blank=True, null=True)),
                    (
                        "returned_to",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("return_note", models.CharField(blank=True, max_length=300)),
                ],
                options={
                    "indexes": [
                        models.Index(
                            condition=models.Q(("returned_at", None)),
                            fields=["patient"],
                            name="loan_open_of_patient",
                        )
                    ],
                    "constraints": [
                        models.UniqueConstraint(
                            condition=models.Q(("returned_at", None)),
                            fields=("stimulator",),
                            name="loan_one_at_a_time",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("returned_at", None), ("returned_to", None)),
                                models.Q(
                                    ("returned_at__isnull", False), ("returned_to__isnull", False)
                                ),
                                _connector="OR",
                            ),
                            name="loan_returned_to_somebody",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="CounterReading",
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
                            related_name="readings",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "visit",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="reading",
                            to="homeprogram.visit",
                        ),
                    ),
                    (
                        "profile",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.stimulatorprofile",
                        ),
                    ),
                    (
                        "stimulator",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="readings",
                            to="clinician.stimulator",
                        ),
                    ),
                    ("at", models.DateTimeField()),
                    (
                        "counts",
                        models.CharField(
                            choices=[("hours", "Hours"), ("bouts", "Bouts")], max_length=5
                        ),
                    ),
                    ("value", models.FloatField()),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("counts__in", ["hours", "bouts"])),
                            name="reading_counts_what_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("value__gte", 0)), name="reading_not_below_zero"
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="StimulatorEvent",
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
                        "stimulator",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="events",
                            to="clinician.stimulator",
                        ),
                    ),
                    (
                        "act",
                        models.CharField(
                            choices=[
                                ("checked", "safety check passed"),
                                ("cleaned", "Cleaned"),
                                ("quarantined", "put in quarantine"),
                                ("released", "released from quarantine"),
                                ("retired", "out of use for good"),
                            ],
                            max_length=11,
                        ),
                    ),
                    ("on", models.DateField()),
                    ("due_on", models.DateField(blank=True, null=True)),
                    ("note", models.CharField(blank=True, max_length=300)),
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
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "act__in",
                                    ["checked", "cleaned", "quarantined", "released", "retired"],
                                )
                            ),
                            name="stimulator_act_is_known",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="WorkingWeek",
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
                        "clinician",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="working_week",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("weekdays", models.JSONField()),
                    (
                        "cover",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                ("cover", None),
                                models.Q(("cover", models.F("clinician")), _negated=True),
                                _connector="OR",
                            ),
                            name="working_week_cover_is_another",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="Absence",
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
                            related_name="absences",
                            to="homeprogram.clinic",
                        ),
                    ),
                    (
                        "clinician",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="absences",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("first_day", models.DateField()),
                    ("last_day", models.DateField()),
                    (
                        "cover",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("note", models.CharField(blank=True, max_length=200)),
                    (
                        "recorded_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("recorded_at", models.DateTimeField()),
                    (
                        "taken_back_by",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("taken_back_at", models.DateTimeField(blank=True, null=True)),
                ],
                options={
                    "indexes": [
                        models.Index(
                            condition=models.Q(("taken_back_at", None)),
                            fields=["clinic", "last_day"],
                            name="absence_of_clinic_by_day",
                        )
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("last_day__gte", models.F("first_day"))),
                            name="absence_days_in_order",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("clinician", None),
                                models.Q(("cover", models.F("clinician")), _negated=True),
                                _connector="OR",
                            ),
                            name="absence_cover_is_another",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Contact",
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
                            related_name="contacts",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("at", models.DateTimeField()),
                    (
                        "way",
                        models.CharField(
                            choices=[
                                ("telephone", "Telephone"),
                                ("clinic", "visit at the clinic"),
                                ("home", "home visit"),
                                ("video", "video call"),
                                ("message", "Message"),
                                ("letter", "Letter"),
                            ],
                            max_length=9,
                        ),
                    ),
                    (
                        "direction",
                        models.CharField(
                            choices=[("out", "from the clinic"), ("in", "from the patient")],
                            max_length=3,
                        ),
                    ),
                    (
                        "outcome",
                        models.CharField(
                            choices=[
                                ("done", "spoke, or sent and received"),
                                ("not_reached", "did not reach them"),
                                ("call_back", "they ask to be called back"),
                            ],
                            max_length=11,
                        ),
                    ),
                    ("minutes", models.PositiveSmallIntegerField(blank=True, null=True)),
                    (
                        "about",
                        models.CharField(
                            choices=[
                                ("review", "the weekly review"),
                                ("asked", "what the patient asked"),
                                ("bouts", "bouts not done or not heard of"),
                                ("dose", "dose or intensity"),
                                ("skin", "skin"),
                                ("pain", "pain or swelling"),
                                ("symptoms", "other symptoms"),
                                ("stimulator", "stimulator, leads or pads"),
                                ("phone", "phone or app"),
                                ("test", "strength test"),
                                ("appointment", "an appointment"),
                                ("incident", "an incident"),
                                ("other", "Other"),
                            ],
                            max_length=11,
                        ),
                    ),
                    ("note", models.CharField(blank=True, max_length=1000)),
                    (
                        "visit",
                        models.OneToOneField(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="contact",
                            to="homeprogram.visit",
                        ),
                    ),
                    (
                        "corrects",
                        models.OneToOneField(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="corrected_by",
                            to="clinician.contact",
                        ),
                    ),
                    ("recorded_at", models.DateTimeField()),
                ],
                options={
                    "indexes": [
                        models.Index(fields=["patient", "at"], name="contact_of_patient"),
                        models.Index(fields=["clinic", "at"], name="contact_of_clinic"),
                    ],
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "way__in",
                                    ["telephone", "clinic", "home", "video", "message", "letter"],
                                )
                            ),
                            name="contact_way_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("direction__in", ["out", "in"])),
                            name="contact_direction_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                (
                                    "about__in",
                                    [
                                        "review",
                                        "asked",
                                        "bouts",
                                        "dose",
                                        "skin",
                                        "pain",
                                        "symptoms",
                                        "stimulator",
                                        "phone",
                                        "test",
                                        "appointment",
                                        "incident",
                                        "other",
                                    ],
                                )
                            ),
                            name="contact_about_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                ("outcome__in", ["done", "not_reached", "call_back"])
                            ),
                            name="contact_outcome_is_known",
                        ),
                        models.CheckConstraint(
                            condition=models.Q(("minutes__gte", 0), ("minutes__lte", 600)),
                            name="contact_minutes_0_to_600",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="Discharge",
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
                            related_name="+",
                            to="homeprogram.patient",
                        ),
                    ),
                    (
                        "episode",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="discharges",
                            to="homeprogram.episode",
                        ),
                    ),
                    ("ended_on", models.DateField()),
                    ("reason", models.CharField(max_length=300)),
                    ("items", models.JSONField()),
                    ("unmet", models.JSONField(blank=True, default=list)),
                    ("home_plan", models.TextField(blank=True, max_length=2000)),
                    ("letter", models.JSONField()),
                    (
                        "discharged_by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("discharged_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("reason", ""), _negated=True),
                            name="discharge_has_a_reason",
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="Draft",
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
                        "clinician",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("key", models.CharField(max_length=60)),
                    ("data", models.JSONField()),
                    ("saved_at", models.DateTimeField()),
                ],
                options={
                    "constraints": [
                        models.UniqueConstraint(
                            fields=("clinician", "key"), name="draft_once_per_form"
                        )
                    ],
                },
            ),
            migrations.CreateModel(
                name="Handover",
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
                            related_name="handovers",
                            to="homeprogram.patient",
                        ),
                    ),
                    ("batch", models.UUIDField()),
                    (
                        "before",
                        models.ForeignKey(
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    (
                        "after",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    (
                        "by",
                        models.ForeignKey(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                    ("at", models.DateTimeField()),
                    ("undone_at", models.DateTimeField(blank=True, null=True)),
                    (
                        "undone_by",
                        models.ForeignKey(
                            blank=True,
                            null=True,
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="+",
                            to="homeprogram.clinician",
                        ),
                    ),
                ],
                options={
                    "constraints": [
                        models.UniqueConstraint(
                            fields=("batch", "patient"), name="handover_once_per_batch"
                        ),
                        models.CheckConstraint(
                            condition=models.Q(
                                models.Q(("undone_at", None), ("undone_by", None)),
                                models.Q(
                                    ("undone_at__isnull", False), ("undone_by__isnull", False)
                                ),
                                _connector="OR",
                            ),
                            name="handover_undone_by_somebody",
                        ),
                    ],
                },
            ),
            migrations.CreateModel(
                name="IncidentClosing",
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
                        "incident",
                        models.OneToOneField(
                            on_delete=django.db.models.deletion.PROTECT,
                            related_name="closing",
                            to="clinician.incident",
                        ),
                    ),
                    ("reason", models.CharField(max_length=500)),
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
                    "constraints": [
                        models.CheckConstraint(
                            condition=models.Q(("reason", ""), _negated=True),
                            name="incident_closed_with_a_reason",
                        )
                    ],
                },
            ),
        ),
        append_only(
            "clinician_signednote",
            "clinician_addendum",
            "clinician_review",
            "clinician_contact",
            "clinician_stimulatorevent",
            "clinician_counterreading",
            "clinician_discharge",
            "clinician_incident",
            "clinician_incidentsupplement",
            "clinician_incidentclosing",
        ),
    ]
