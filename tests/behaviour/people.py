"""Habits of simulated patients: what they truly do each day, and when the phone is heard.

A bout that is done reaches the clinic when the phone is next heard, so that
back-filling and a phone without a network are the same thing here.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from random import Random

OPENS = 0.7  # share of days without a bout on which the app is opened all the same; assumed


@dataclass(frozen=True, slots=True)
class Person:
    """The truth, day by day from the first; `reactions` = skin grade by day."""

    kind: str
    done: tuple[bool, ...]
    heard: tuple[bool, ...]
    stops_on: int | None = None  # the first day of many without a bout
    reactions: Mapping[int, int] = field(default_factory=dict)


def steady(rng: Random, days: int, share: float, opens: float = OPENS) -> Person:
    """Each bout is done or not by chance alone; the phone is heard with every bout."""
    done = [rng.random() < share for _ in range(days)]
    return Person(f"steady {share:.0%}", tuple(done), _heard(rng, done, opens))


def fading(rng: Random, days: int) -> Person:
    """From nearly every bout to nearly none, in a straight line."""
    done = [rng.random() < 0.97 - 0.9 * n / days for n in range(days)]
    return Person("fading", tuple(done), _heard(rng, done, OPENS))


def stopping(rng: Random, days: int, *, silent: bool) -> Person:
    """Nearly every bout until a day in the middle, none after it; the app opened daily or never."""
    stops_on = rng.randrange(days // 2, days // 2 + 7)
    done = [n < stops_on and rng.random() < 0.95 for n in range(days)]
    heard = [n < stops_on or not silent for n in range(days)]
    kind = "stopping, phone silent" if silent else "stopping, phone heard"
    return Person(kind, tuple(done), tuple(heard), stops_on)


def bursty(rng: Random, days: int) -> Person:
    """Good runs of about eight days, then two off: four of five bouts in all."""
    done, on = [], True
    for _ in range(days):
        on = rng.random() > (1 / 8 if on else 1 / 2)
        done.append(on)
    return Person("bursty", tuple(done), _heard(rng, done, OPENS))


def back_filling(rng: Random, days: int) -> Person:
    """Every bout is done, and written up every second to fourth day."""
    heard, wait = [], 0
    for _ in range(days):
        heard.append(wait == 0)
        wait = rng.randint(1, 3) if wait == 0 else wait - 1
    return Person("back-filling", (True,) * days, tuple(heard))


def silent_phone(rng: Random, days: int) -> Person:
    """Every bout is done and logged; one week in the middle nothing reaches the clinic."""
    first = rng.randrange(days // 3, days // 2)
    return Person(
        "silent phone", (True,) * days, tuple(not first <= n < first + 7 for n in range(days))
    )


def reacting(rng: Random, days: int) -> Person:
    """Nearly every bout; now and then a raised or broken spot, told with that day's bout."""
    done = [rng.random() < 0.95 for _ in range(days)]
    grades = {n: rng.choice((3, 4)) for n in range(7, days) if done[n] and rng.random() < 0.04}
    return Person("reacting skin", tuple(done), _heard(rng, done, OPENS), reactions=grades)


def _heard(rng: Random, done: list[bool], opens: float) -> tuple[bool, ...]:
    return tuple(was or rng.random() < opens for was in done)


Habit = Callable[[Random, int], Person]
HABITS: tuple[Habit, ...] = (
    lambda rng, days: steady(rng, days, 0.95),
    lambda rng, days: steady(rng, days, 0.9),
    lambda rng, days: steady(rng, days, 0.8),
    fading,
    lambda rng, days: stopping(rng, days, silent=False),
    lambda rng, days: stopping(rng, days, silent=True),
    bursty,
    back_filling,
    silent_phone,
    reacting,
)


def panel(habit: Habit, count: int, days: int, seed: int) -> list[Person]:
    """So many of one habit; the same seed gives the same people."""
    return [habit(Random(f"{seed} {n}"), days) for n in range(count)]
