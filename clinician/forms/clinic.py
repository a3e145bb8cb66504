"""The clinic's own texts and course values; ours are shown where none is set."""

from dataclasses import asdict
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, figure, text
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
KNEE = {"bad": "Knee much swollen, or pain 7 of 10 and more"}
STOP = {
    "emergency": "Chest pain, breathless",
    "same_day": "Calf pain or swelling, dark urine, fever",
    "surgeon": "Wound, pop, leg raise lost",
    "clinic": "All else",
}
HOLD = {"limb": "Hold of one limb", "all": "Hold of everything"}
SETS = {"skin": SKIN, "knee": KNEE, "stop": STOP, "hold": HOLD}
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

    def knee_rows(self) -> list[forms.BoundField]:
        return self.rows_of("knee")

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
