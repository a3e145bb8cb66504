"""The shape of dose and strength checks; what is possible is judged in calc."""

from math import isfinite

from rest_framework import serializers

from homeprogram.calc.dose_request import WAVEFORMS
from homeprogram.calc.guidance_schema import LEVELS
from homeprogram.calc.strength import RULES, UNITS
from homeprogram.calc.strength_request import EVOKED_OF, OTHER_LIMBS, PATHWAYS

TRIALS_MAX = 20
WEEKS_MAX = 2000


class FigureField(serializers.FloatField):
    """A finite number: JSON's text "nan" is none."""

    def to_internal_value(self, data: object) -> float:
        value = super().to_internal_value(data)
        if not isfinite(value):
            self.fail("invalid")
        return value


def optional() -> dict:
    return {"required": False, "allow_null": True}


class DoseCheckInput(serializers.Serializer):
    waveform = serializers.ChoiceField(WAVEFORMS)
    frequency_hz = FigureField()
    phase_duration_us = FigureField(**optional(), help_text="This or pulse_duration_us.")
    pulse_duration_us = FigureField(**optional(), help_text="Symmetric pulses only.")
    interphase_us = FigureField(default=0)
    intensity_ma = FigureField(allow_null=True, help_text="Null leaves the currents null.")
    on_s = FigureField()
    off_s = FigureField()
    ramp_up_s = FigureField()
    ramp_down_s = FigureField()
    ramps_inside_on = serializers.BooleanField()
    bout_min = FigureField(**optional(), help_text="This or contractions.")
    contractions = serializers.IntegerField(**optional())
    count_last_rest = serializers.BooleanField(default=True)
    warmup_min = FigureField(default=0)
    recovery_min = FigureField(default=0)
    bouts_per_day = serializers.IntegerField()
    days_per_week = serializers.IntegerField()
    weeks = serializers.IntegerField()
    electrode_cm2 = FigureField()
    carrier_hz = FigureField(**optional(), help_text="burst_ac only.")
    bursts_per_s = FigureField(**optional(), help_text="burst_ac: the same as frequency_hz.")
    burst_ms = FigureField(**optional(), help_text="burst_ac only.")
    second_phase_duration_us = FigureField(**optional())
    second_phase_ma = FigureField(**optional())
    family = serializers.CharField(
        max_length=60, allow_blank=True, **optional(), help_text="Code of ours, id of your own."
    )
    stimulator = serializers.UUIDField(**optional())


class FindingOutput(serializers.Serializer):
    code = serializers.CharField()
    level = serializers.ChoiceField(LEVELS)
    message = serializers.CharField()
    source = serializers.CharField()
    mark = serializers.CharField()


class DoseCheckOutput(serializers.Serializer):
    cycle_s = serializers.FloatField()
    plateau_s = serializers.FloatField()
    contractions_per_bout = serializers.IntegerField()
    bout_min = serializers.FloatField()
    stimulated_min_per_bout = serializers.FloatField()
    duty_cycle_pct = serializers.FloatField()
    work_to_rest = serializers.FloatField()
    contractions_per_day = serializers.IntegerField()
    contractions_per_week = serializers.IntegerField()
    contractions_per_course = serializers.IntegerField()
    phase_charge_uc = serializers.FloatField(allow_null=True)
    net_charge_uc = serializers.FloatField(allow_null=True)
    mean_rectified_ma = serializers.FloatField(allow_null=True)
    rms_ma = serializers.FloatField(allow_null=True)
    rms_density_ma_cm2 = serializers.FloatField(allow_null=True)
    rms_density_half_contact_ma_cm2 = serializers.FloatField(allow_null=True)
    peak_density_ma_cm2 = serializers.FloatField(allow_null=True)
    pulse_energy_mj_at_500_ohm = serializers.FloatField(allow_null=True)
    mean_power_density_w_cm2_at_500_ohm = serializers.FloatField(allow_null=True)
    findings = FindingOutput(many=True)


class SlipOutput(serializers.Serializer):
    field = serializers.CharField()
    given = serializers.FloatField()
    likely = serializers.FloatField()
    unit = serializers.CharField()


class ImpossibleOutput(serializers.Serializer):
    code = serializers.CharField()
    message = serializers.CharField()
    fields_ = serializers.DictField(child=serializers.CharField())
    slips = SlipOutput(many=True, required=False)

    def get_fields(self) -> dict:
        # `fields` is the serializer's own attribute; the answer's key has that name.
        declared = super().get_fields()
        return {name.rstrip("_"): field for name, field in declared.items()}


class StrengthCheckInput(serializers.Serializer):
    involved = serializers.ListField(child=FigureField(), max_length=TRIALS_MAX)
    uninvolved = serializers.ListField(child=FigureField(), max_length=TRIALS_MAX)
    unit = serializers.ChoiceField(UNITS)
    lever_arm_m = FigureField(**optional())
    body_mass_kg = FigureField(**optional())
    preop_uninvolved = FigureField(**optional())
    evoked = FigureField(**optional())
    evoked_of = serializers.ChoiceField(EVOKED_OF, **optional())
    mvic_rule = serializers.ChoiceField(RULES)
    method = serializers.CharField(max_length=60)
    weeks_since_start = FigureField(min_value=0, max_value=WEEKS_MAX)
    weeks_since_surgery = FigureField(min_value=0, max_value=WEEKS_MAX, **optional())
    pathway = serializers.ChoiceField(PATHWAYS)
    other_limb = serializers.ChoiceField(OTHER_LIMBS)


class StrengthCheckOutput(serializers.Serializer):
    involved_mvic = serializers.FloatField(allow_null=True, help_text="In the unit asked.")
    uninvolved_mvic = serializers.FloatField(allow_null=True, help_text="In the unit asked.")
    lsi_pct = serializers.FloatField(allow_null=True)
    epic_pct = serializers.FloatField(allow_null=True)
    nm_per_kg_involved = serializers.FloatField(allow_null=True)
    evoked_pct_mvic = serializers.FloatField(allow_null=True)
    trial_spread_pct = serializers.FloatField(allow_null=True)
    mdc_pct = serializers.FloatField(allow_null=True)
    findings = FindingOutput(many=True)
