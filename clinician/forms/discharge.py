"""The list before an episode ends: each item done, or not needed, because."""

from collections.abc import Iterable
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, ReasonForm, text
from clinician.selectors.discharge import ITEMS

ANSWERS = [("done", "done"), ("not_needed", "not needed, because")]


class DischargeForm(PlainForm):
    reason = text("Why the episode ends", 300, rows=2)
    home_plan = text(
        "Plan for home",
        2000,
        required=False,
        rows=4,
        help_text="What the patient goes on with, and when to come back. It stands in the letter.",
    )

    def __init__(self, *args: Any, items: Iterable, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.items = list(items)
        for item in self.items:
            self.fields[item.code if item.code != "home_plan" else "plan"] = forms.ChoiceField(
                label=item.name,
                choices=ANSWERS,
                widget=forms.RadioSelect,
                help_text=f"{item.fact} {item.by_the_desk}".strip(),
            )
            because = text(f"{item.name}: because", 200, required=False)
            because.quiet = True
            self.fields[f"because_{item.code}"] = because
        self.say_plainly()

    @property
    def rows(self) -> list[tuple]:
        return [(self[_name(item.code)], self[f"because_{item.code}"]) for item in self.items]

    def clean(self) -> dict:
        said = super().clean()
        for code in ITEMS:
            if said.get(_name(code)) == "not_needed" and not said.get(f"because_{code}"):
                self.add_error(f"because_{code}", "Say why it is not needed.")
        if said.get("plan") == "done" and not said.get("home_plan"):
            self.add_error("home_plan", "Write the plan, or say why none is needed.")
        return said

    @property
    def answers(self) -> dict[str, str]:
        """Empty = done."""
        said = self.cleaned_data
        return {
            code: said[f"because_{code}"] if said[_name(code)] == "not_needed" else ""
            for code in ITEMS
        }


def _name(code: str) -> str:
    return "plan" if code == "home_plan" else code


class ReopenForm(ReasonForm):
    reason = text("Why the episode is opened again", 300, rows=2)
