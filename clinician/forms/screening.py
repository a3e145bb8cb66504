"""The screening: one question a condition, none of them answered beforehand."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, day, text
from clinician.selectors.screening_words import OCCASIONS
from homeprogram.calc.guidance import Condition
from homeprogram.calc.screening import Answer, missing_answers

YES_NO = [("yes", "Yes"), ("no", "No")]
GRADES = {
    "contraindication": "contraindication",
    "precaution": "precaution",
    "may_proceed": "may proceed",
}
REASON_HELP = {
    "none": "No reason gets past this one; write what you saw.",
    "named_reason": "To go on in spite of it, write what you decided and why.",
    "specialist_opinion": "To go on, a specialist's written opinion must be on file.",
}


@dataclass(frozen=True, slots=True)
class Question:
    """One condition with its bound fields, as the page lays them out."""

    condition: Condition
    grade: str
    before: str  # what was answered last time, if it was yes
    present: forms.BoundField
    details: list[forms.BoundField]

    @property
    def wrong(self) -> bool:
        return bool(self.present.errors or any(field.errors for field in self.details))


class ScreeningForm(PlainForm):
    on = day("Day of the screening")
    occasion = forms.ChoiceField(label="Occasion", choices=OCCASIONS)

    def __init__(self, *args: Any, conditions: Iterable[Condition], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.conditions = tuple(conditions)
        for condition in self.conditions:
            self._ask(condition)
        self.say_plainly()

    def _ask(self, condition: Condition) -> None:
        code = condition.code
        self.fields[f"present_{code}"] = forms.ChoiceField(
            label=condition.question,
            choices=YES_NO,
            widget=forms.RadioSelect,
            error_messages={"required": "Answer yes or no."},
        )
        label = "What was decided, and why" if condition.grade != "may_proceed" else "Note"
        helps = REASON_HELP[condition.override] if condition.grade == "contraindication" else ""
        self.fields[f"note_{code}"] = text(label, 500, required=False, rows=2, help_text=helps)
        self.fields[f"note_{code}"].quiet = condition.grade != "may_proceed"
        if condition.override == "specialist_opinion":
            self.fields[f"opinion_by_{code}"] = text("Specialist", 120, required=False)
            self.fields[f"opinion_on_{code}"] = day("Date of the opinion", required=False)

    def questions(self, before: dict[str, Answer]) -> list[Question]:
        return [
            Question(
                condition=one,
                grade=GRADES[one.grade],
                before=_before(before.get(one.code)),
                present=self[f"present_{one.code}"],
                details=[self[name] for name in self._details(one.code)],
            )
            for one in self.conditions
        ]

    def _details(self, code: str) -> list[str]:
        names = (f"note_{code}", f"opinion_by_{code}", f"opinion_on_{code}")
        return [name for name in names if name in self.fields]

    def clean(self) -> dict:
        said = super().clean()
        answers = self.answers()
        for code, sentence in missing_answers(answers, self.conditions).items():
            if code in answers:
                self.add_error(self._blamed(code, answers[code]), sentence)
        for code, answer in answers.items():
            if answer.opinion_on and said.get("on") and answer.opinion_on > said["on"]:
                self.add_error(f"opinion_on_{code}", "The opinion is later than the screening.")
        return said

    def _blamed(self, code: str, answer: Answer) -> str:
        """The empty one of the fields that belong together."""
        if f"opinion_by_{code}" not in self.fields:
            return f"note_{code}"
        return f"opinion_on_{code}" if answer.opinion_by.strip() else f"opinion_by_{code}"

    def answers(self) -> dict[str, Answer]:
        """What was answered so far; details count only where the answer is yes."""
        said = self.cleaned_data
        given = [one.code for one in self.conditions if said.get(f"present_{one.code}")]
        return {code: self._answer(code) for code in given}

    def _answer(self, code: str) -> Answer:
        said = self.cleaned_data
        if said[f"present_{code}"] == "no":
            return Answer(present=False)
        return Answer(
            present=True,
            note=said.get(f"note_{code}") or "",
            opinion_by=said.get(f"opinion_by_{code}") or "",
            opinion_on=said.get(f"opinion_on_{code}"),
        )


def _before(answer: Answer | None) -> str:
    if answer is None or not answer.present:
        return ""
    return f"Last time: yes. {answer.note}".strip()
