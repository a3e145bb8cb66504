"""The clinic's own texts and flag thresholds; ours are shown where none is set."""

from dataclasses import asdict
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, count, figure, text
from homeprogram.calc.limits import FlagRules
from homeprogram.calc.strength_check import course_rules
from homeprogram.calc.texts import FIRST, FURTHER, texts_of
from homeprogram.services.clinics import COURSE_BOUNDS

SKIN = {
    "0": "Grade 0: nothing seen",
    "1": "Grade 1: slight, even change",
    "2": "Grade 2: marked, patchy, lasting, or itch",
    "3": "Grade 3: raised or swollen (hold)",
    "4": "Grade 4: blister, burn, broken skin (hold)",
}
STOP = {
    "emergency": "Chest pain, breathless",
    "same_day": "Calf pain or swelling, dark urine, fever",
    "surgeon": "Wound, pop, leg raise lost",
    "clinic": "All else",
}
HOLD = {"limb": "Hold of one limb", "all": "Hold of everything"}
SETS = {"skin": SKIN, "stop": STOP, "hold": HOLD}
CONTACT = ("phone_number", "hours", "out_of_hours", "emergency_number")
TEXT_MOST = 300


class ClinicTextsForm(PlainForm):
    phone_number = text("Clinic's telephone", 40)
    hours = text("Hours", 200)
    out_of_hours = text("Out of hours", 300, rows=2)
    emergency_number = text("Emergency number", 20)

    def __init__(self, *args: Any, texts: dict, language: str = FIRST, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.texts, self.language = texts, language
        for kind, labels in SETS.items():
            for key, label in labels.items():
                field = text(label, TEXT_MOST, required=False, rows=2)
                field.quiet = True
                self.fields[f"{kind}_{key}"] = field

    @staticmethod
    def initial_of(clinic, language: str = FIRST) -> dict:
        standing = texts_of(clinic.texts, language)
        words = {f"{k}_{key}": standing[k][key] for k, labels in SETS.items() for key in labels}
        return words | {name: getattr(clinic, name) for name in CONTACT}

    def rows_of(self, kind: str) -> list[forms.BoundField]:
        return [self[f"{kind}_{key}"] for key in SETS[kind]]

    def skin_rows(self) -> list[forms.BoundField]:
        return self.rows_of("skin")

    def stop_rows(self) -> list[forms.BoundField]:
        return self.rows_of("stop")

    def hold_rows(self) -> list[forms.BoundField]:
        return self.rows_of("hold")

    def own_texts(self) -> dict:
        """The clinic's texts as they are to be, what this page does not show kept as it was.

        Only what differs from what stands anyway, so that a better default reaches the clinic.
        """
        if self.language == FIRST:
            kept = {k: v for k, v in self.texts.items() if k not in SETS}
            return kept | self._differing(texts_of({}))
        further = self.texts.get(FURTHER, {})
        without = {k: v for k, v in self.texts.items() if k != FURTHER}
        kept = {k: v for k, v in further.get(self.language, {}).items() if k not in SETS}
        own = kept | self._differing(texts_of(without, self.language))
        others = {k: v for k, v in further.items() if k != self.language}
        told = others | ({self.language: own} if own else {})
        return without | ({FURTHER: told} if told else {})

    def _differing(self, standing: dict) -> dict:
        own: dict = {}
        for kind, labels in SETS.items():
            for key in labels:
                words = self.cleaned_data[f"{kind}_{key}"].strip()
                if words and words != standing[kind][key]:
                    own.setdefault(kind, {})[key] = words
        return own


# name: label, lowest, highest, unit
RULES = {
    "missed_in_a_row": ("Missed days: due days in a row", 1, 14, "days"),
    "missed_of_last": ("Missed days: or so many ...", 1, 14, "days"),
    "missed_window": ("... of the last due days", 1, 28, "days"),
    "under_dose_share": ("Under dose: below this share of contractions", 0.05, 1, "of 1"),
    "under_dose_days": ("Under dose: over so many days", 1, 28, "days"),
    "under_dose_known_days": ("Under dose: with at least so many known", 1, 28, "days"),
    "no_contact_h": ("No contact: without word from the phone for", 12, 336, "h"),
    "pain_reports": ("Contact wanted: times not done for pain", 1, 20, "times"),
    "pain_window_days": ("Contact wanted: within", 1, 28, "days"),
    "skin_later_grade": ("Skin: grade that flags next morning or before a bout", 1, 4, ""),
    "skin_any_grade": ("Skin: grade that flags at any moment", 1, 4, ""),
    "pads_uses": ("Pads: bouts that a set lasts", 5, 60, "bouts"),
    "pads_warn": ("Pads: warn so many bouts ahead", 1, 20, "bouts"),
    "itch_in_a_row": ("Skin: itch in so many checks running", 1, 10, "checks"),
    "worse_by": ("Knee pain or discomfort worse: above the usual by", 1, 5, "of 10"),
    "worse_bouts": ("... in so many bouts", 1, 7, "bouts"),
    "worse_days": ("... the usual being that of the days before", 3, 14, "days"),
    "pain_any": ("Knee pain worse: or this much after any bout", 4, 10, "of 10"),
    "over_use_bouts": ("Over-use: bouts beyond those asked, in a week", 1, 14, "bouts"),
    "over_ceiling_bouts": ("Over the ceiling: bouts in a week", 1, 14, "bouts"),
    "limit_bouts": ("Stimulator at its limit: bouts running", 1, 14, "bouts"),
    "review_bouts": ("Dose review: calm bouts running", 3, 28, "bouts"),
    "review_discomfort": ("Dose review: with discomfort at most", 1, 6, "of 10"),
    "review_pain": ("Dose review: with knee pain at most", 1, 5, "of 10"),
    "effective_pct": ("Current below effective: evoked share that counts", 10, 100, "% of MVIC"),
    "effective_days": ("... in a test of the last", 7, 28, "days"),
    "below_bouts": ("... bouts running below its current", 1, 14, "bouts"),
    "test_after_days": ("Strength test: days of the program without one", 7, 84, "days"),
}
SHARES = {"under_dose_share"}


class ClinicRulesForm(PlainForm):
    """Thresholds are common practice without a source; the clinic answers for its own."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ours = asdict(FlagRules())
        for name, (label, low, high, unit) in RULES.items():
            make = figure if name in SHARES else count
            usual = f"Usual: {ours[name]:g}"
            self.fields[name] = make(label, low, high, unit, help_text=usual)
        self.say_plainly()

    @staticmethod
    def initial_of(clinic) -> dict:
        return asdict(FlagRules.of_clinic(clinic.rules))

    def clean(self) -> dict:
        said = super().clean()
        if not self.errors:
            if said["missed_of_last"] > said["missed_window"]:
                self.add_error("missed_of_last", "More days than the window holds.")
            if said["under_dose_known_days"] > said["under_dose_days"]:
                self.add_error("under_dose_known_days", "More known days than days.")
            if said["pads_warn"] >= said["pads_uses"]:
                self.add_error("pads_warn", "Fewer than a set lasts.")
        return said

    def own_rules(self) -> dict:
        """Only what differs from ours; what this page does not show is kept as it was."""
        ours = asdict(FlagRules())
        return {
            name: self.cleaned_data[name] for name in RULES if self.cleaned_data[name] != ours[name]
        }


COURSE = {
    "weeks_post_operative": ("After surgery: at least", "weeks"),
    "weeks_conservative": ("No surgery planned: at least", "weeks"),
    "weeks_pre_operative": ("Before surgery: at least", "weeks"),
    "lsi_pct": ("Limb symmetry index: at least", "%"),
}


class ClinicCourseForm(PlainForm):
    """When the software says that a course may be reviewed; it never says that one is done."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ours = asdict(course_rules())
        for name, (label, unit) in COURSE.items():
            low, high = COURSE_BOUNDS[name]
            usual = f"Usual: {ours[name]:g}"
            self.fields[name] = figure(label, low, high, unit, help_text=usual)
        self.say_plainly()

    @staticmethod
    def initial_of(clinic) -> dict:
        return asdict(course_rules(clinic.course))

    def own_course(self) -> dict:
        ours = asdict(course_rules())
        said = self.cleaned_data
        return {name: said[name] for name in COURSE if said[name] != ours[name]}
