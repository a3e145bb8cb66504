"""The home program: what its figures must keep to before a revision is written."""

from typing import Any

from clinician.forms.program_fields import CHANNELS, EXERCISES, LEVELS, TEMPO, ProgramFields
from homeprogram.calc import dose, electrode, exercises, first_dose, slips
from homeprogram.calc.dose_errors import ImpossibleDose
from homeprogram.calc.exercise_tempo import Tempo, tempo_message, with_tempo

# Fields where a value that can be but hardly ever is gets asked about once.
DOUBTED = {
    "frequency_hz": "frequency_hz",
    "phase_duration_us": "phase_duration_us",
    "on_s": "on_s",
    "off_s": "off_s",
    "bout_min": "bout_min",
    "weeks": "weeks",
    "electrode_cm2": "electrode_cm2",
}


class ProgramForm(ProgramFields):
    """`before` = the revision in force; what it found may be void now."""

    def __init__(self, *args: Any, before: Any = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.before = before

    def exercise_of(self, number: int) -> dict | None:
        """As the revision keeps it: the clinician's own words win, the tempo is said."""
        code = self.cleaned_data[f"exercise_{number}"]
        if not code:
            return None
        words, kind = self.cleaned_data[f"how_{number}"], self.cleaned_data[f"type_{number}"]
        one = self.kept[code] if code in self.kept else exercises.for_phone(code, words, kind)
        said = {"how": words or one["how"], "contraction_type": kind or one["contraction_type"]}
        return one | said | {"how": with_tempo(said["how"], self.tempo_of(number))}

    def tempo_of(self, number: int) -> Tempo | None:
        told = [self.cleaned_data.get(f"{part}_{number}") for part in TEMPO]
        return None if all(one is None for one in told) else Tempo(*(one or 0 for one in told))

    def changed_since(self) -> set[str]:
        """What makes a remembered current meaningless, compared with the revision before."""
        if self.before is None:
            return set()
        said = self.cleaned_data
        changed = {"lead"} if said.get("leads_changed") else set()
        if said.get("stimulator") not in (None, str(self.before.stimulator_id)):
            changed.add("stimulator")
        area = said.get("electrode_cm2")
        if said.get("pads") and set(said["pads"]) != set(self.before.pads):
            changed.add("pads")
        if area is not None and abs(area - self.before.electrode_cm2) > 0.5:
            changed.add("pads")
        return changed

    def clean(self) -> dict:
        said = super().clean()
        self._count_area(said)
        self._ask_about_doubts(said)
        if not self.errors:
            self._check_length(said)
            self._check_ramps(said)
            self._check_intensity(said)
            self._check_first_bout(said)
            self._check_exercises(said)
            self._check_remembered(said)
        return said

    def _count_area(self, said: dict) -> None:
        area = area_of(said)
        if area is not None:
            said["electrode_cm2"] = area
        elif said.get("electrode_cm2") is None and "electrode_cm2" not in self.errors:
            self.add_error("electrode_cm2", "Give the pad's shape and size, or its area.")

    def _ask_about_doubts(self, said: dict) -> None:
        """A likely slip is corrected, or confirmed; it never passes unseen."""
        sure = self.data.getlist("sure") if hasattr(self.data, "getlist") else []
        for field, name in DOUBTED.items():
            value = said.get(field)
            found = None if value is None else slips.doubt(name, value)
            if found and f"{field}:{value:g}" not in sure:
                slip, why = found
                self.add_error(
                    field,
                    f"{value:g} {slip.unit}: did you mean {slip.likely:g} {slip.unit} ({why})? "
                    "Correct it, or say that you are sure.",
                )

    def _check_length(self, said: dict) -> None:
        """One of contractions and minutes is enough; the other is counted."""
        timing = timing_of(said)
        if said["contractions_per_bout"] is None and said["bout_min"] is None:
            self.add_error(
                "contractions_per_bout", "Give the contractions of a bout, or its minutes."
            )
        elif said["contractions_per_bout"] is None:
            said["contractions_per_bout"] = dose.contractions_in(timing, bout_min=said["bout_min"])
            if said["contractions_per_bout"] == 0:
                self.add_error("bout_min", "Not one contraction fits into this bout.")
        elif said["bout_min"] is None:
            minutes = dose.bout_minutes(timing, contractions=said["contractions_per_bout"])
            said["bout_min"] = round(minutes, 2)

    def _check_ramps(self, said: dict) -> None:
        if dose.plateau_s(timing_of(said)) < -dose.ROUNDING:
            self.add_error("ramp_up_s", "The ramps are longer than the on time that holds them.")

    def _check_intensity(self, said: dict) -> None:
        profile = self.stimulators[said["stimulator"]]
        for channel in CHANNELS:
            told = {level: said[f"{level}_{channel}"] for level in LEVELS}
            known = [value for value in told.values() if value is not None]
            if not known:
                continue
            if channel > profile.channels:
                self.add_error(
                    f"start_{channel}", f"This stimulator has {profile.channels} channels."
                )
            if max(known) > profile.max_intensity:
                top = f"This stimulator gives at most {profile.max_intensity:g} {profile.unit}."
                self.add_error(_worst(told, channel), top)
            elif told["ceiling"] is not None and max(known) > told["ceiling"]:
                self.add_error(f"ceiling_{channel}", "The ceiling is below the start or the floor.")
            elif len(known) == len(LEVELS):
                self._check_order(channel, told)

    def _check_order(self, channel: int, told: dict) -> None:
        try:
            first_dose.check_channel(first_dose.ChannelIntensity(**told))
        except ImpossibleDose as refusal:
            self.add_error(f"start_{channel}", refusal.message)

    def _check_first_bout(self, said: dict) -> None:
        seen = bool(said["observed"]) or said["evoked_pct"] is not None
        if seen and not list(intensity_of(said)):
            self.add_error("observed", "Give start, floor and ceiling of the same bout too.")

    def _check_exercises(self, said: dict) -> None:
        codes = [said[f"exercise_{n}"] for n in EXERCISES if said[f"exercise_{n}"]]
        if not codes:
            self.add_error("exercise_1", "Choose at least one exercise.")
        if len(codes) != len(set(codes)):
            self.add_error("exercise_1", "An exercise is chosen twice.")
        if said["knee_angle_deg"] is None and not said["knee_range"]:
            self.add_error("knee_angle_deg", "State the knee angle or the range.")

    def _check_remembered(self, said: dict) -> None:
        """What was found with other pads, leads or stimulator is not taken over unseen."""
        changed = self.changed_since()
        if said["found_anew"] or not _carried_over(self.before, intensity_of(said)):
            return
        last = max(v for one in self.before.intensity for v in _levels(one))
        if first_dose.remembered_intensity(last, days_off=0, changed=changed) is None:
            self.add_error("found_anew", void_message(changed, self.before.number))


def _worst(told: dict, channel: int) -> str:
    level = max((one for one in told if told[one] is not None), key=lambda one: told[one])
    return f"{level}_{channel}"


def timing_of(said: dict) -> dose.Timing:
    return dose.timing(**{name: said[name] for name in dose.TIMING_FIGURES})


def area_of(said: dict) -> float | None:
    """One pad's area from its shape and size; None where they are not both told. [cm2]"""
    shape = said.get("pad_shape")
    if shape == "rectangle" and None not in (
        wide := said.get("pad_width_cm"),
        high := said.get("pad_height_cm"),
    ):
        return round(electrode.rectangle_cm2(wide, high), 1)
    if shape == "round" and (across := said.get("pad_diameter_cm")) is not None:
        return round(electrode.round_cm2(across), 1)
    return None


def intensity_of(said: dict) -> list[dict]:
    """Each channel that was told about."""
    rows = [
        {"channel": channel, **{level: said.get(f"{level}_{channel}") for level in LEVELS}}
        for channel in CHANNELS
    ]
    return [row for row in rows if _levels(row)]


def _levels(row: dict) -> list[float]:
    return [row[level] for level in LEVELS if row.get(level) is not None]


def _carried_over(before: Any, rows: list[dict]) -> bool:
    """True when a channel still has the very figures of the revision before."""
    if before is None:
        return False
    old = {one["channel"]: _levels(one) for one in before.intensity}
    return any(old.get(row["channel"]) == _levels(row) for row in rows)


def void_message(changed: set[str], number: int) -> str:
    what = " and ".join(sorted(changed))
    return (
        f"The {what} changed: what was found for revision {number} is void. Find start, floor "
        "and ceiling anew in a supervised bout, or leave the channels empty."
    )


def tempo_words(form: ProgramForm) -> list[str]:
    """One verdict for each exercise with a tempo, against the on time."""
    on_s = form.cleaned_data.get("on_s")
    told = {n: form.tempo_of(n) for n in EXERCISES}
    if on_s is None:
        return []
    return [f"Exercise {n}: {tempo_message(t, on_s=on_s)}" for n, t in told.items() if t]
