"""The thresholds of the flags in words: by rule, with the unit and what it is compared with."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from clinician.selectors.words import moment_long
from homeprogram.calc.days import zone_or_utc
from homeprogram.calc.flag_thresholds import LOOKS_AT
from homeprogram.calc.limits import SHARES, FlagRules
from homeprogram.models import Patient, SettingChange

# name: label, unit
WORDS = {
    "missed_in_a_row": ("Due days missed in a row", "days"),
    "missed_of_last": ("Or so many ...", "days"),
    "missed_window": ("... of the last due days", "days"),
    "under_dose_share": ("Below this share of contractions", "%"),
    "under_dose_days": ("Over so many days", "days"),
    "under_dose_known_days": ("With at least so many known", "days"),
    "no_contact_h": ("Without word from the phone for", "h"),
    "pain_reports": ("Times not done for pain", "times"),
    "pain_window_days": ("Within", "days"),
    "skin_later_grade": ("Grade next morning or before a bout", "of 4"),
    "skin_any_grade": ("Grade at any moment", "of 4"),
    "itch_in_a_row": ("Itch in so many checks running", "checks"),
    "pads_uses": ("Bouts that a set lasts", "bouts"),
    "pads_warn": ("Warn so many bouts ahead", "bouts"),
    "worse_by": ("Above the usual by", "of 10"),
    "worse_bouts": ("In so many bouts running", "bouts"),
    "worse_days": ("The usual being that of the days before", "days"),
    "pain_any": ("Knee pain: or this much after any bout", "of 10"),
    "over_use_bouts": ("Bouts beyond those asked, in a week", "bouts"),
    "over_ceiling_bouts": ("Bouts in a week", "bouts"),
    "limit_bouts": ("Bouts running", "bouts"),
    "review_bouts": ("Calm bouts running", "bouts"),
    "review_discomfort": ("With discomfort at most", "of 10"),
    "review_pain": ("With knee pain at most", "of 10"),
    "effective_pct": ("Evoked share that counts", "% of MVIC"),
    "effective_days": ("In a test of the last", "days"),
    "below_bouts": ("Bouts running below its current", "bouts"),
    "test_after_days": ("Days of the program without one", "days"),
}
# What no preview can try says so where it is set.
NOT_TRIED = {
    "no_contact_h": ". No preview: of each phone the record keeps the newest contact and the "
    "newest word that it holds nothing unsent, not those before. So other hours cannot be tried; "
    "the preview says how often the flag came up by the hours that held.",
}


def whose(reason: str, clinic: Mapping, patient: Mapping) -> str:
    """Where the thresholds of a rule come from, for the card it raised."""
    names = LOOKS_AT.get(reason, ())
    if any(name in patient for name in names):
        return "set for this patient"
    if any(name in clinic for name in names):
        return "the clinic's own"
    return "as usual" if names else "none to set"


@dataclass(frozen=True, slots=True)
class OwnRules:
    """What was set for one patient, by whom, and why."""

    lines: list[str]
    who: str = ""
    when: str = ""
    reason: str = ""


def own_rules(patient: Patient, changes: Iterable[SettingChange]) -> OwnRules:
    """`changes` = all of this patient's."""
    if not patient.rules:
        return OwnRules([])
    clinic = FlagRules.of_clinic(patient.clinic.rules)
    lines = [_set(name, value, getattr(clinic, name)) for name, value in patient.rules.items()]
    newest = max(changes, key=lambda one: one.at)
    when = moment_long(newest.at, zone_or_utc(patient.clinic.zone))
    return OwnRules(lines, newest.by.name, when, newest.reason)


def _set(name: str, value: float, clinics: float) -> str:
    label, unit = WORDS[name]
    said = f"{label.replace('...', '').strip()}: {shown(name, value)} {unit}".strip()
    return f"{said} (the clinic's: {shown(name, clinics)})"


def shown(name: str, value: float) -> str:
    """As the page writes it: a share in per cent, without its unit."""
    return f"{100 * value if name in SHARES else value:g}"
