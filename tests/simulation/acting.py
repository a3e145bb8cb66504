"""What may happen in a world: a name, how often it comes, and what it does."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tests.simulation import entries

if TYPE_CHECKING:
    from tests.simulation.world import Handset, World

MINUTE_MS, HOUR_MS = 60_000, 3_600_000


@dataclass(frozen=True)
class Action:
    weight: float
    act: Callable[["World"], None]


ACTIONS: dict[str, Action] = {}
ONLY_IN_FOCUS: dict[str, Action] = {}  # these never happen in other worlds


def action(weight: float, *, only_in_focus: bool = False) -> Callable:
    def keep(act: Callable) -> Callable:
        kind = ONLY_IN_FOCUS if only_in_focus else ACTIONS
        kind[act.__name__] = Action(weight, act)
        return act

    return keep


def entry_act(world: "World", phone: "Handset", tab: str = "a", after_ms: float = 0) -> dict:
    kind, payload = entries.draw(world.rng)
    anywhere = kind in entries.ANY_LIMB and world.rng.random() < 0.5
    program = None if anywhere else world.rng.randint(0, 1)
    shift = world.rng.choice([0, 0, 0, -1, -1, -2])
    return world.act(
        "save", phone.name, after_ms, tab=tab, kind=kind, payload=payload,
        program=program, shift=shift, draft=world.rng.choice([None, f"form:{kind}"]),
    )  # fmt: skip
