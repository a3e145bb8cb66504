"""What stands behind a home program: screening, surgeon's limits, strength tests."""

from django.db import models
from django.db.models import F, Q

from homeprogram.models.base import Record, in_range, one_of
from homeprogram.models.clinic import Clinic
from homeprogram.models.patient import Episode
from homeprogram.models.user import Clinician


class ScreeningOutcome(models.TextChoices):
    CLEAR = "clear"
    WITH_PRECAUTIONS = "with_precautions", "with precautions"
    DO_NOT_USE = "do_not_use", "do not use"


class ScreeningOccasion(models.TextChoices):
    FIRST = "first", "before the first program"
    READMISSION = "readmission", "after a stay in hospital"
    RESTART = "restart", "before starting again"
    STOP_REPORT = "stop_report", "after a stop report"
    CHANGE_TOLD = "change_told", "something changed, the patient says"
    OTHER = "other", "other"


class Screening(Record):
    """Dated answers on contraindications; never changed, only followed by another."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="screenings")
    on = models.DateField()
    occasion = models.CharField(max_length=12, choices=ScreeningOccasion)
    answers = models.JSONField()  # by condition code: present, note, opinion
    outcome = models.CharField(max_length=16, choices=ScreeningOutcome)
    recorded_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("outcome", ScreeningOutcome, "screening_outcome_is_known"),
            one_of("occasion", ScreeningOccasion, "screening_occasion_is_known"),
        ]


class LimitKind(models.TextChoices):
    WEIGHT_BEARING = "weight_bearing", "weight-bearing"
    RANGE_OF_MOTION = "range_of_motion", "range of motion"
    BRACE = "brace"
    GRAFT = "graft"
    MENISCAL_REPAIR = "meniscal_repair", "meniscal repair"
    EXTENSOR_REPAIR = "extensor_repair", "extensor repair"
    MOVEMENT = "movement", "movement with the current on is allowed"
    MAXIMAL_TEST = "maximal_test", "maximal strength test is allowed"


class SurgeonLimit(Record):
    """A limit or clearance as the surgeon told it, with the days it holds."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="limits")
    kind = models.CharField(max_length=16, choices=LimitKind)
    detail = models.CharField(max_length=200)
    said_by = models.CharField(max_length=120)
    first_day = models.DateField()
    last_day = models.DateField(null=True, blank=True)
    from_deg = models.FloatField(null=True, blank=True)
    to_deg = models.FloatField(null=True, blank=True)
    recorded_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()

    class Meta:
        constraints = [
            one_of("kind", LimitKind, "surgeon_limit_kind_is_known"),
            models.CheckConstraint(
                condition=Q(last_day=None) | Q(last_day__gte=F("first_day")),
                name="surgeon_limit_not_over_before_it_starts",
            ),
            models.CheckConstraint(
                condition=Q(from_deg=None, to_deg=None) | Q(to_deg__gte=F("from_deg")),
                name="surgeon_limit_angles_in_order",
            ),
        ]


class ObservedContraction(models.TextChoices):
    NONE = "none"
    FLICKER = "flicker"
    SUSTAINED = "sustained"
    MOVES_PATELLA = "moves_patella", "moves the patella"


class StrengthTest(Record):
    """Trials of both limbs as entered, and what was computed from them that day."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT)
    episode = models.ForeignKey(Episode, on_delete=models.PROTECT, related_name="strength_tests")
    on = models.DateField()
    maximal = models.BooleanField()
    cleared_on = models.DateField(null=True, blank=True)
    knee_angle_deg = models.FloatField(null=True, blank=True)
    request = models.JSONField(default=dict, blank=True)  # as sent to the strength check
    result = models.JSONField(default=dict, blank=True)  # as it answered that day
    # What the stimulator showed while the current alone was measured: [{channel, value}].
    evoked_at = models.JSONField(null=True, blank=True)
    observed_contraction = models.CharField(max_length=14, choices=ObservedContraction, blank=True)
    flexion_deg = models.FloatField(null=True, blank=True)
    extension_deg = models.FloatField(null=True, blank=True)
    extension_lag_deg = models.FloatField(null=True, blank=True)
    swelling = models.CharField(max_length=40, blank=True)
    knee_pain = models.PositiveSmallIntegerField(null=True, blank=True)
    questionnaire = models.CharField(max_length=60, blank=True)
    questionnaire_score = models.FloatField(null=True, blank=True)
    shared_at = models.DateTimeField(null=True, blank=True)
    recorded_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(maximal=False)
                | Q(cleared_on__isnull=False, knee_angle_deg__isnull=False),
                name="strength_test_maximal_is_cleared_at_an_angle",
            ),
            in_range("knee_pain", 0, 10, "strength_test_pain_0_to_10"),
        ]
        indexes = [models.Index(fields=["episode", "on"], name="strength_test_episode_day")]


class ClinicFamily(Record):
    """A protocol family of the clinic's own; ours are read-only files."""

    clinic = models.ForeignKey(Clinic, on_delete=models.PROTECT, related_name="families")
    name = models.CharField(max_length=80)
    values = models.JSONField()  # the figures of a family, by name
    source = models.CharField(max_length=300)
    created_by = models.ForeignKey(Clinician, on_delete=models.PROTECT, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["clinic", "name"], name="clinic_family_name_once"),
        ]
