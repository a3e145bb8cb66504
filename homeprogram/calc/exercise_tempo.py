"""Does a movement fit into the on time of a contraction?

Common practice, no source: 3 s lift, 3 s hold, 3 s lower inside 10 s on.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Tempo:
    """Seconds to lift, hold and lower."""

    lift_s: float
    hold_s: float
    lower_s: float

    @property
    def total_s(self) -> float:
        return self.lift_s + self.hold_s + self.lower_s


def spare_s(tempo: Tempo, *, on_s: float) -> float:
    """Seconds of the on time left when the movement is done; negative: too long. [s]"""
    return on_s - tempo.total_s


def tempo_fits(tempo: Tempo, *, on_s: float) -> bool:
    """True when lift, hold and lower all happen with the current on."""
    return spare_s(tempo, on_s=on_s) >= 0


def tempo_message(tempo: Tempo, *, on_s: float) -> str:
    """The verdict in words, for the program form."""
    name = f"{tempo.lift_s:g}-{tempo.hold_s:g}-{tempo.lower_s:g}"
    if tempo_fits(tempo, on_s=on_s):
        return f"{name} takes {tempo.total_s:g} s and fits the {on_s:g} s on time."
    over = -spare_s(tempo, on_s=on_s)
    return (
        f"{name} takes {tempo.total_s:g} s and does not fit the {on_s:g} s on time:"
        f" {over:g} s would be without current."
    )


def tempo_sentence(tempo: Tempo) -> str:
    """For a phone that knows no field for it."""
    return f"Lift {tempo.lift_s:g} s, hold {tempo.hold_s:g} s, lower {tempo.lower_s:g} s."


def with_tempo(how: str, tempo: Tempo | None) -> str:
    return how if tempo is None else f"{how} {tempo_sentence(tempo)}"
