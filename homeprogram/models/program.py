"""The home program: immutable revisions, pauses, and what the stimulator was set to."""

from datetime import date

from django.db import models
from django.db.models import F, Q

from homeprogram.calc.return_dose import RETURN_PCT
from homeprogram.models.base import Record, in_range, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.patient import Episode, Patient
from homeprogram.models.user import Clinician


class Unit(models.TextChoices):
    MA = "mA"
    LEVEL = "level"


class Waveform(models.TextChoices):
    MONOPHASIC = "monophasic"
    SYMMETRIC = "symmetric_biphasic", "symmetric biphasic"
    ASYMMETRIC = "asymmetric_biphasic", "asymmetric balanced biphasic"
    BURST_AC = "burst_ac", "burst-modulated alternating current"


class Counter(models.TextChoices):
    """What a stimulator's own usage counter counts."""

    HOURS = "hours"
    BOUTS = "bouts"


class StimulatorProfile(Record):
    """What one kind of stimulator of this clinic can deliver; generic, no brand."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    name = models.CharField(max_length=80)
    channels = models.PositiveSmallIntegerField(default=2)
    unit = models.CharField(max_length=5, choices=Unit, default=Unit.MA)
    max_intensity = models.FloatField()
    min_frequency_hz = models.FloatField()
    max_frequency_hz = models.FloatField()
    max_phase_duration_us = models.FloatField()
    waveform = models.CharField(max_length=20, choices=Waveform, default=Waveform.SYMMETRIC)
    counter = models.CharField(max_length=5, choices=Counter, blank=True)  # empty: it has none

    class Meta:
        constraints = [
            one_of("unit", Unit, "stimulator_unit_is_known"),
            one_of("waveform", Waveform, "stimulator_waveform_is_known"),
            in_range("channels", 1, 8, "stimulator_channels_1_to_8"),
            models.UniqueConstraint(fields=["clinic", "name"], name="stimulator_name_once"),
        ]


class HomeProgram(Record):
    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="programs")
    episode = models.OneToOneField(Episode, on_delete=models.PROTECT, related_name="program")
    ended_on = models.DateField(null=True, blank=True)
    end_reason = models.CharField(max_length=300, blank=True)
    created_at = models.DateTimeField()


class Revision(Record):
    """One version of the dose. Never changed: a new dose is a new revision."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    program = models.ForeignKey(HomeProgram, on_delete=models.PROTECT, related_name="revisions")
    number = models.PositiveSmallIntegerField()
    first_day = models.DateField()
    reason = models.CharField(max_length=300)
    family = models.CharField(max_length=60, blank=True)
    stimulator = models.ForeignKey(StimulatorProfile, on_delete=models.PROTECT, related_name="+")

    weekdays = models.JSONField()  # local weekdays, Monday = 0
    bouts_per_day = models.PositiveSmallIntegerField()
    minimum_gap_h = models.FloatField(default=3)
    contractions_per_bout = models.PositiveSmallIntegerField()
    bout_min = models.FloatField()

    waveform = models.CharField(max_length=20, choices=Waveform)
    frequency_hz = models.FloatField()
    phase_duration_us = models.FloatField()
    on_s = models.FloatField()
    off_s = models.FloatField()
    ramp_up_s = models.FloatField()
    ramp_down_s = models.FloatField()
    ramps_inside_on = models.BooleanField(default=True)
    electrode_cm2 = models.FloatField()
    intensity = models.JSONField()  # [{channel, start, floor, ceiling}]
    voluntary_in_off = models.BooleanField(default=False)

    knee_angle_deg = models.FloatField(null=True, blank=True)
    knee_range = models.CharField(max_length=40, blank=True)
    position = models.CharField(max_length=120)
    pads = models.JSONField()
    exercises = models.JSONField()
    # Not sent to a phone as it is: pad shape, course, first bout; tempos go with exercises.
    details = models.JSONField(null=True, blank=True)

    created_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["program", "number"], name="revision_number_once"),
            one_of("waveform", Waveform, "revision_waveform_is_known"),
            in_range("bouts_per_day", 1, 6, "revision_bouts_1_to_6"),
            in_range("contractions_per_bout", 1, 600, "revision_contractions_1_to_600"),
            in_range("on_s", 1, 60, "revision_on_time_1_to_60_s"),
            in_range("off_s", 1, 300, "revision_off_time_1_to_300_s"),
            in_range("frequency_hz", 1, 200, "revision_frequency_1_to_200_hz"),
            in_range("phase_duration_us", 20, 1000, "revision_phase_20_to_1000_us"),
            models.CheckConstraint(
                condition=Q(knee_angle_deg__isnull=False) | ~Q(knee_range=""),
                name="revision_states_the_knee_angle",
            ),
        ]


class RevisionOnPhone(models.Model):
    """A push named this revision: from the day after, the patient follows it."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    revision = models.OneToOneField(Revision, on_delete=models.PROTECT, related_name="on_phone")
    phone = models.ForeignKey("homeprogram.Phone", on_delete=models.PROTECT, related_name="+")
    named_at = models.DateTimeField()
    named_on = models.DateField()  # the patient's calendar day

    def __str__(self) -> str:
        return f"RevisionOnPhone {self.pk}"


class StimulatorSetting(Record):
    """Somebody set the stimulator to this revision and read it back."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    revision = models.ForeignKey(Revision, on_delete=models.PROTECT, related_name="settings")
    set_at = models.DateTimeField()
    set_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    note = models.CharField(max_length=300, blank=True)


class PauseReason(models.TextChoices):
    FLARE_UP = "flare_up", "flare-up"
    ILLNESS = "illness"
    READMISSION = "readmission", "back in hospital"
    TRAVEL = "travel"
    SURGERY_REVIEW = "surgery_review", "waiting for the surgeon"
    OTHER = "other"


class Pause(Record):
    """Days on which nothing is due; `last_day` empty = until somebody ends it."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    program = models.ForeignKey(HomeProgram, on_delete=models.PROTECT, related_name="pauses")
    first_day = models.DateField()
    last_day = models.DateField(null=True, blank=True)
    reason = models.CharField(max_length=20, choices=PauseReason)
    # The dose to come back to, of the one before [%]; empty = the usual after so many days.
    return_contractions_pct = models.PositiveSmallIntegerField(null=True, blank=True)
    return_current_pct = models.PositiveSmallIntegerField(null=True, blank=True)
    # A safety pause stops the phone as soon as it hears of it.
    safety = models.BooleanField(default=False)
    note = models.CharField(max_length=300, blank=True)
    created_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("reason", PauseReason, "pause_reason_is_known"),
            in_range(
                "return_contractions_pct", *RETURN_PCT, "pause_returns_to_10_to_100_pct_of_bout"
            ),
            in_range(
                "return_current_pct", *RETURN_PCT, "pause_returns_to_10_to_100_pct_of_current"
            ),
            models.CheckConstraint(
                condition=Q(last_day=None) | Q(last_day__gte=F("first_day")),
                name="pause_not_over_before_it_starts",
            ),
            models.UniqueConstraint(
                fields=["program"], condition=Q(last_day=None), name="pause_one_open_per_program"
            ),
        ]

    def covers(self, day: date) -> bool:
        return self.first_day <= day and (self.last_day is None or day <= self.last_day)
