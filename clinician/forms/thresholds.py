"""Thresholds of the flags: the clinic's own, and one patient's."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict
from typing import Any

from django import forms

from clinician.forms.base import PlainForm, count, share, text
from clinician.selectors import reasons
from clinician.selectors.thresholds import NOT_TRIED, WORDS, shown
from homeprogram.calc.flag_thresholds import LOOKS_AT, OF_A_PATIENT
from homeprogram.calc.limits import FLAG_BOUNDS, SHARES, FlagRules


def _by_rule() -> dict[str, list[str]]:
    """Each threshold once, under the rule that looks at it first."""
    placed: dict[str, str] = {}
    for reason, names in LOOKS_AT.items():
        for name in names:
            placed.setdefault(name, reason)
    return {
        reason: [name for name in names if placed[name] == reason]
        for reason, names in LOOKS_AT.items()
    }


BY_RULE = _by_rule()


def _title(reason: str) -> str:
    """With the rules that look at nothing else than this one does."""
    alike = [one for one, names in LOOKS_AT.items() if set(names) <= set(LOOKS_AT[reason])]
    return " and ".join(reasons.name(one).lower() for one in alike).capitalize()


class ThresholdsForm(PlainForm):
    """Common practice without a source; whoever sets one answers for it."""

    names: Iterable[str] = tuple(WORDS)
    optional = False

    def __init__(self, *args: Any, standing: FlagRules, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.standing = standing
        for name in self.names:
            label, unit = WORDS[name]
            low, high = FLAG_BOUNDS[name]
            said = {
                "required": not self.optional,
                "help_text": self._usual(name) + NOT_TRIED.get(name, ""),
            }
            if name in SHARES:
                field = share(label, low, high, **said)
            else:
                field = count(label, low, high, unit, **said)
            field.quiet = self.optional
            self.fields[name] = field
        self.say_plainly()

    def _usual(self, name: str) -> str:
        return f"Usual: {shown(name, getattr(FlagRules(), name))}"

    def sets(self) -> Iterator[tuple[str, list[forms.BoundField]]]:
        """The fields rule by rule."""
        for reason, names in BY_RULE.items():
            if fields := [self[name] for name in names if name in self.fields]:
                yield _title(reason), fields

    def clean(self) -> dict:
        said = super().clean()
        if not self.errors:
            for name, sentence in self.effective().contradictions().items():
                self.add_error(name if name in self.fields else None, sentence)
        return said

    def effective(self) -> FlagRules:
        said = {n: v for n, v in self.cleaned_data.items() if n in self.names and v is not None}
        return FlagRules(**asdict(self.standing) | said)


class ClinicRulesForm(ThresholdsForm):
    @staticmethod
    def initial_of(clinic) -> dict:
        return asdict(FlagRules.of_clinic(clinic.rules))

    def own_rules(self) -> dict:
        """Only what differs from ours; what this page does not show is kept as it was."""
        ours = asdict(FlagRules())
        return {n: self.cleaned_data[n] for n in self.names if self.cleaned_data[n] != ours[n]}


class PatientRulesForm(ThresholdsForm):
    """Empty = as the clinic has it."""

    names = OF_A_PATIENT
    optional = True

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["reason"] = text("Why for this patient", 300, rows=2)
        self.say_plainly()

    def _usual(self, name: str) -> str:
        return f"The clinic's: {shown(name, getattr(self.standing, name))}"

    def own_rules(self) -> Mapping[str, float]:
        return {n: self.cleaned_data[n] for n in self.names if self.cleaned_data[n] is not None}
