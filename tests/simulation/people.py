"""What patients do with their phones, and how time passes for them."""

from typing import TYPE_CHECKING

from tests.simulation import entries
from tests.simulation.acting import HOUR_MS, MINUTE_MS, action, entry_act
from tests.simulation.clinic import ZONES

if TYPE_CHECKING:
    from tests.simulation.world import World


@action(10)
def save(world: "World") -> None:
    phone = world.any_phone()
    acts = world.ready(phone)
    at = 300.0
    for _ in range(world.rng.randint(1, 7)):
        acts.append(entry_act(world, phone, after_ms=at))
        at += world.rng.choice([0, 5, 40, 900, 8_000])
    world.run(*acts, for_ms=at + world.rng.choice([20, 200, 3_000, 30_000]))


@action(3)
def save_in_two_tabs(world: "World") -> None:
    phone = world.any_phone()
    acts = world.ready(phone) + world.ready(phone, "b")
    for tab in ("a", "b", "a", "b"):
        acts.append(entry_act(world, phone, tab, 300 + world.rng.randint(0, 30)))
    acts.append(world.act("sync", phone.name, 300 + world.rng.randint(0, 60), tab="b"))
    world.run(*acts, for_ms=world.rng.choice([400, 5_000, 40_000]))


@action(3)
def amend(world: "World") -> None:
    phone = world.any_phone()
    fits = [one for one in world.oracle.shown.values() if one.kind in entries.MAKERS]
    if not fits:
        return
    # Often the same one again, from whichever phone.
    one = world.amended if world.amended and world.rng.random() < 0.5 else world.rng.choice(fits)
    world.amended = one
    kind, payload = entries.amendment(world.rng, one.id, one.kind)
    place = {
        "phone_id": world.seen[phone.name]["meta"].get("phone_id"),
        "episode_id": one.episode_id, "revision_id": None, "for_date": one.for_date,
        "logged_by": {"who": "patient"},
    }  # fmt: skip
    if place["phone_id"] is None:
        return
    said = world.act("save", phone.name, 300, kind=kind, payload=payload, place=place)
    world.run(*world.ready(phone), said, for_ms=world.rng.choice([500, 10_000]))


@action(2)
def tap_again(world: "World") -> None:
    """The form that could not be saved is still filled in; the same id is used."""
    phone = world.any_phone()
    if not phone.unsaved:
        return
    form = phone.unsaved.pop()
    if form["place"]["phone_id"] != world.seen[phone.name]["meta"].get("phone_id"):
        return
    world.run(*world.ready(phone), world.act("save", phone.name, 300, **form), for_ms=8_000)


@action(1)
def broken_form(world: "World") -> None:
    phone = world.any_phone()
    kind, payload = entries.poison(world.rng)
    said = world.act("save", phone.name, 300, kind=kind, payload=payload, program=0, shift=0)
    world.run(*world.ready(phone), said, entry_act(world, phone, after_ms=350), for_ms=9_000)


@action(0.3)
def giant_entry(world: "World") -> None:
    """Larger than any push may be: it stays on the phone and in nobody's way."""
    phone = world.any_phone()
    said = {"text": "z" * 300_000, "wants_contact": False}
    giant = world.act(
        "save", phone.name, 300, kind="note_to_clinic", payload=said, program=None, shift=0,
        giant=True,
    )  # fmt: skip
    world.run(*world.ready(phone), giant, entry_act(world, phone, after_ms=350), for_ms=9_000)


@action(1)
def other_release(world: "World") -> None:
    phone = world.any_phone()
    planted = world.act("plant", phone.name, 300, **entries.planted(world.rng))
    world.run(*world.ready(phone), planted, entry_act(world, phone, after_ms=500), for_ms=9_000)


# --- time --------------------------------------------------------------------


@action(5)
def wait(world: "World") -> None:
    world.run(for_ms=world.rng.randint(5_000, 400_000))


def put_away(world: "World", for_ms: float) -> None:
    how = {"committed": True, "leaves": True}
    world.run(*(world.act("stop", name, how=how) for name in world.phones), for_ms=for_ms)


@action(6)
def hours_pass(world: "World") -> None:
    put_away(world, world.rng.randint(20 * MINUTE_MS, 9 * HOUR_MS))


@action(5)
def a_day_passes(world: "World") -> None:
    put_away(world, world.rng.randint(10 * HOUR_MS, 40 * HOUR_MS))
    for phone in world.phones.values():
        if world.rng.random() < 0.7:
            world.run(*world.ready(phone), for_ms=8_000)


@action(1)
def clock_jumps(world: "World") -> None:
    phone = world.any_phone()
    jump = world.rng.choice([5, -5, 45, -45, 3 * 60, -3 * 60, 30 * 24 * 60, -30 * 24 * 60])
    phone.skew_ms += jump * MINUTE_MS
    world.run(entry_act(world, phone), for_ms=5_000)


@action(0.6)
def clock_is_set_right(world: "World") -> None:
    world.any_phone().skew_ms = 0


@action(0.5)
def travel(world: "World") -> None:
    world.any_phone().zone = world.rng.choice(ZONES)
