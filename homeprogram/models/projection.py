"""Rebuilt from entries by one function; nothing here is a source of truth."""

from django.db import models

from homeprogram.models.base import in_range
from homeprogram.models.clinic import Clinic
from homeprogram.models.entry import Entry
from homeprogram.models.patient import Episode, Patient
from homeprogram.models.program import Revision


class Bout(models.Model):
    """The current reading of a bout entry (the head of its corrections)."""

    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="bout")
    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="bouts")
    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="bouts")
    revision = models.ForeignKey(Revision, on_delete=models.PROTECT, related_name="+")
    for_date = models.DateField()
    minutes = models.FloatField()
    contractions = models.PositiveSmallIntegerField()
    complete = models.BooleanField()  # at least 80 % of its prescribed contractions
    discomfort = models.PositiveSmallIntegerField()
    knee_pain_before = models.PositiveSmallIntegerField()
    knee_pain_after = models.PositiveSmallIntegerField()
    intensity = models.JSONField()
    at_floor = models.BooleanField(null=True)  # every channel at or above its floor
    over_ceiling = models.BooleanField(default=False)
    ended_early = models.CharField(max_length=20, blank=True)

    class Meta:
        constraints = [
            in_range("discomfort", 0, 10, "bout_discomfort_0_to_10"),
            in_range("knee_pain_before", 0, 10, "bout_pain_before_0_to_10"),
            in_range("knee_pain_after", 0, 10, "bout_pain_after_0_to_10"),
        ]
        indexes = [models.Index(fields=["episode", "for_date"], name="bout_episode_day")]

    def __str__(self) -> str:
        return f"Bout {self.pk}"


class SkinCheck(models.Model):
    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="skin_check")
    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="skin_checks")
    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="skin_checks")
    for_date = models.DateField()
    moment = models.CharField(max_length=12)
    grade = models.PositiveSmallIntegerField()
    itchy = models.BooleanField()
    pads = models.JSONField()

    class Meta:
        constraints = [in_range("grade", 0, 4, "skin_check_grade_0_to_4")]
        indexes = [models.Index(fields=["episode", "for_date"], name="skin_check_episode_day")]

    def __str__(self) -> str:
        return f"SkinCheck {self.pk}"


class PadNews(models.Model):
    """What a standing note told of a limb's pads: new ones, or that they do not stick."""

    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="pad_news")
    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="pad_news")
    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="pad_news")
    for_date = models.DateField()
    news = models.CharField(max_length=10)
    received_at = models.DateTimeField()
    version = models.PositiveBigIntegerField()

    def __str__(self) -> str:
        return f"PadNews {self.pk}"


class PatientDay(models.Model):
    """Counts of one episode's day; what the day is called is decided when read."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="days")
    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="days")
    day = models.DateField()
    bouts_done = models.PositiveSmallIntegerField(default=0)
    bouts_partial = models.PositiveSmallIntegerField(default=0)
    contractions = models.PositiveIntegerField(default=0)
    minutes = models.FloatField(default=0)
    at_floor = models.PositiveSmallIntegerField(default=0)
    not_done = models.PositiveSmallIntegerField(default=0)
    excused = models.BooleanField(default=False)  # a mark was still there before a bout
    last_received_at = models.DateTimeField(null=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["episode", "day"], name="patient_day_once"),
        ]
        indexes = [
            # The panel reads fourteen days of every patient at once.
            models.Index(fields=["clinic", "day"], name="patient_day_clinic_day"),
        ]

    def __str__(self) -> str:
        return f"PatientDay {self.pk}"
