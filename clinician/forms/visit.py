"""A visit: note, measures, supervised bout, usage counter. Only kind, limb and day are needed."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms

from clinician.forms.base import PlainForm, clock_time, count, day, figure, text
from clinician.selectors import choices
from homeprogram.calc import measures
from homeprogram.calc.limits import BOUT_MINUTES_MAX, CONTRACTIONS_MAX, COUNTER_MAX, RATING_MAX

CHANNELS = (1, 2)
LEVELS = ("start", "floor", "ceiling")
BOUT_NEEDS = ("bout_stimulator", "started", "bout_min", "contractions", "contraction")
BOUT_NEEDS += ("discomfort", "skin_before", "skin_after")
GRADES = [
    ("", "not looked at"),
    ("0", "0: nothing"),
    ("1", "1: slight even change"),
    ("2", "2: marked or patchy"),
    ("3", "3: raised or swollen"),
    ("4", "4: blister, burn, broken"),
]


class VisitForm(PlainForm):
    kind = forms.ChoiceField(label="Kind", choices=choices.VISIT_KINDS, widget=forms.RadioSelect)
    episode = forms.ChoiceField(label="About", widget=forms.RadioSelect)
    on = day("Day")
    at = clock_time("Time")
    minutes = count("Minutes", 0, 600, "min", required=False, help_text="Empty: not timed.")
    note = text("Note", 2000, rows=4, required=False)

    swelling = forms.ChoiceField(
        label="Swelling, stroke test",
        choices=[("", "not tested"), *measures.SWELLING.items()],
        required=False,
    )

    bout_stimulator = forms.ChoiceField(label="Stimulator", required=False)
    started = clock_time("Began at", required=False)
    bout_min = figure("Length", 0, BOUT_MINUTES_MAX, "min", required=False)
    contractions = count("Contractions", 1, CONTRACTIONS_MAX, required=False)
    contraction = forms.ChoiceField(
        label="Contraction seen",
        choices=[("", "not looked for"), *choices.OBSERVED],
        required=False,
    )
    discomfort = count("Discomfort", 0, RATING_MAX, "of 10", required=False)
    skin_before = forms.ChoiceField(label="Skin before", choices=GRADES, required=False)
    skin_after = forms.ChoiceField(label="Skin after", choices=GRADES, required=False)
    on_phone = forms.BooleanField(
        label="The patient logs this bout on the phone too: then that entry counts", required=False
    )

    counter = figure("Usage counter shows", 0, COUNTER_MAX, "", required=False)
    counter_of = forms.ChoiceField(label="Counter of", required=False)

    def __init__(
        self,
        *args: Any,
        episodes: Iterable[tuple[str, str]],
        stimulators: Mapping[str, Any],
        counters: Iterable[tuple[str, str]],
        zone: ZoneInfo,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.zone, self.stimulators = zone, stimulators
        self.fields["episode"].choices = episodes
        kinds = [(key, f"{one.name} ({one.unit})") for key, one in stimulators.items()]
        self.fields["bout_stimulator"].choices = [("", "no bout was done"), *kinds]
        self.fields["counter_of"].choices = [("", "not read"), *counters]
        for one in measures.FIGURES:
            self.fields[one.code] = figure(
                one.name, one.low, one.high, one.unit, required=False, help_text=one.how
            )
        for channel in CHANNELS:
            for level in LEVELS:
                label = f"Channel {channel}, {level}"
                self.fields[f"{level}_{channel}"] = figure(label, 0, 999, "", required=False)
        for name, field in self.fields.items():
            field.quiet = name != "note"
        self.say_plainly()

    def figures(self) -> list:
        return [self[one.code] for one in measures.FIGURES]

    def channel_rows(self) -> list[tuple[int, list]]:
        return [(n, [self[f"{level}_{n}"] for level in LEVELS]) for n in CHANNELS]

    def clean(self) -> dict:
        said = super().clean()
        if said.get("on") and said.get("at"):
            said["moment"] = datetime.combine(said["on"], said["at"], tzinfo=self.zone)
        if said.get("counter") is not None and not said.get("counter_of"):
            self.add_error("counter_of", "Say whose counter this is.")
        if said.get("counter_of") and said.get("counter") is None:
            self.add_error("counter", "Give what it shows, or choose “not read”.")
        given = [
            name for name in (*BOUT_NEEDS, *self._levels()) if said.get(name) not in (None, "")
        ]
        if given:
            self._need_whole_bout(said)
        return said

    def _levels(self) -> list[str]:
        return [f"{level}_{n}" for n in CHANNELS for level in LEVELS]

    def _need_whole_bout(self, said: dict) -> None:
        for name in BOUT_NEEDS:
            if said.get(name) in (None, "") and name not in self.errors:
                self.add_error(name, "A supervised bout needs this.")
        for n in CHANNELS:
            names = [f"{level}_{n}" for level in LEVELS]
            some = [name for name in names if said.get(name) is not None]
            if (some or n == 1) and len(some) < len(names):
                for name in set(names) - set(some) - set(self.errors):
                    self.add_error(name, "Start, floor and ceiling go together.")

    def measures(self) -> dict:
        codes = [*(one.code for one in measures.FIGURES), "swelling"]
        said = self.cleaned_data
        return {code: said[code] for code in codes if said.get(code) not in (None, "")}

    def bout(self) -> dict | None:
        """As the service takes it; None when no bout was done."""
        said = self.cleaned_data
        if not said["bout_stimulator"]:
            return None
        return {
            "stimulator": self.stimulators[said["bout_stimulator"]],
            "started_at": datetime.combine(said["on"], said["started"], tzinfo=self.zone),
            "minutes": said["bout_min"],
            "contractions": said["contractions"],
            "intensity": [
                {"channel": n} | {level: said[f"{level}_{n}"] for level in LEVELS}
                for n in CHANNELS
                if said[f"ceiling_{n}"] is not None
            ],
            "contraction": said["contraction"],
            "discomfort": said["discomfort"],
            "skin_before": int(said["skin_before"]),
            "skin_after": int(said["skin_after"]),
            "on_phone": said["on_phone"],
        }
