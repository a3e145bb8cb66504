"""Which thresholds each rule looks at, and what one patient's own may be."""

from contextlib import suppress

from homeprogram.calc.limits import FlagRules

WORSE = ("worse_by", "worse_bouts", "worse_days")
LOOKS_AT = {
    "skin_reaction": ("skin_later_grade", "skin_any_grade", "itch_in_a_row"),
    "contact_wanted": ("pain_reports", "pain_window_days"),
    "knee_pain_worse": (*WORSE, "pain_any"),
    "discomfort_worse": WORSE,
    "over_ceiling": ("over_ceiling_bouts",),
    "over_use": ("over_use_bouts",),
    "missed_days": ("missed_in_a_row", "missed_of_last", "missed_window"),
    "under_dose": ("under_dose_share", "under_dose_days", "under_dose_known_days"),
    "intensity_below_effective": ("effective_pct", "effective_days", "below_bouts"),
    "pads_due": ("pads_uses", "pads_warn"),
    "no_contact": ("no_contact_h",),
    "stimulator_at_limit": ("limit_bouts",),
    "dose_review_due": ("review_bouts", "review_discomfort", "review_pain"),
    "strength_test_due": ("test_after_days",),
}
# The phone counts pads by the clinic's numbers.
OF_THE_CLINIC = frozenset({"pads_uses", "pads_warn", "window_days"})
OF_A_PATIENT = tuple(
    dict.fromkeys(
        name for names in LOOKS_AT.values() for name in names if name not in OF_THE_CLINIC
    )
)


def effective_rules(clinic: dict, patient: dict) -> FlagRules:
    """The patient's thresholds over the clinic's over the defaults.

    Each was checked when it was set; two that were set apart may contradict each
    other since, and no push may fail for that: then the clinic's hold for the rule
    that looks at them. A patient whose skin is watched more closely stays watched.
    """
    try:
        return FlagRules.of_clinic(clinic | patient)
    except ValueError:
        kept = clinic
        for names in LOOKS_AT.values():
            both = kept | {name: patient[name] for name in names if name in patient}
            with suppress(ValueError):
                FlagRules.of_clinic(both)
                kept = both
        return FlagRules.of_clinic(kept)
