"""The exercises done with the current on, in words for a patient.

Common practice, no source. Isometric ones first: movement waits until the
surgeon's limits allow it.
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass

from homeprogram.calc.exercise_tempo import Tempo, with_tempo

CONTRACTION_TYPES = ("isometric", "concentric", "eccentric")


@dataclass(frozen=True, slots=True)
class Exercise:
    code: str
    name: str
    contraction_type: str
    how: str
    standing: bool = False


CATALOGUE = (
    Exercise(
        "quad_set",
        "Tighten the thigh",
        "isometric",
        "Lie or sit, leg straight. Push the back of the knee down. Hold until the current stops.",
    ),
    Exercise(
        "isometric_extension",
        "Push against the strap",
        "isometric",
        "Sit with the shin strapped. Push the shin out into the strap. The knee does not move.",
    ),
    Exercise(
        "roll_press",
        "Press on the roll",
        "isometric",
        "Put a rolled towel under the knee. Press the knee down on the roll. Keep the heel down.",
    ),
    Exercise(
        "leg_raise",
        "Raise the straight leg",
        "isometric",
        "Lie on your back. Tighten the thigh first. Keep the leg straight. Lift it a little.",
    ),
    Exercise(
        "wall_sit",
        "Sit on the wall",
        "isometric",
        "Stand with your back on a wall. Slide down a little. Hold until the current stops.",
        standing=True,
    ),
    Exercise(
        "short_kick",
        "Straighten over a roll",
        "concentric",
        "Lie with a roll under the knee. Lift the heel. When the current stops, let it down.",
    ),
    Exercise(
        "long_kick",
        "Straighten the knee in the chair",
        "concentric",
        "Sit well back. Lift the foot as far as you may. When the current stops, let it down.",
    ),
    Exercise(
        "stand_up",
        "Stand up from the chair",
        "concentric",
        "Use a firm chair by a table. Stand up with both legs. Sit down when the current stops.",
        standing=True,
    ),
    Exercise(
        "slow_lower",
        "Let the foot down slowly",
        "eccentric",
        "Lift the leg with the help of the other one. Let it down slowly while the current is on.",
    ),
    Exercise(
        "small_squat",
        "Bend both knees a little",
        "eccentric",
        "Hold on to a table. Bend both knees slowly while the current is on. Keep the heels down.",
        standing=True,
    ),
)
BY_CODE = {exercise.code: exercise for exercise in CATALOGUE}


def is_standing(code: str) -> bool:
    """Done on the feet, where a thigh that gives way under current means a fall."""
    return code in BY_CODE and BY_CODE[code].standing


def for_phone(code: str, own_words: str = "", contraction_type: str = "") -> dict:
    """As a revision keeps it; the clinician's own words and type win over ours."""
    known = BY_CODE[code]
    return {
        "code": known.code,
        "name": known.name,
        "contraction_type": contraction_type or known.contraction_type,
        "how": own_words.strip() or known.how,
    }


def with_origin(kept: dict, tempo_s: Sequence[float] | None = None) -> dict:
    """As the phone hears it: what still says our own words can be said in its language,
    and the seconds to lift, hold and lower where the program names them."""
    known = BY_CODE.get(kept["code"])
    tempo = Tempo(*tempo_s) if tempo_s else None
    ours = known is not None and kept["how"] == with_tempo(known.how, tempo)
    return {**kept, "ours": ours} | ({"tempo": asdict(tempo)} if tempo else {})
