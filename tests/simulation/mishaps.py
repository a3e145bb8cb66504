"""What phones, browsers and networks do to people."""

from typing import TYPE_CHECKING

from tests.simulation.acting import action, entry_act

if TYPE_CHECKING:
    from tests.simulation.world import World

QUEUE, RESCUE, RECORD = "boutwise-queue", "boutwise-queue-rescue", "boutwise-record"


@action(4)
def kill_while_saving(world: "World") -> None:
    phone = world.any_phone()
    leaves = world.rng.random() < 0.4
    how = {"committed": leaves or world.rng.random() < 0.5, "leaves": leaves}
    begin = world.rng.choice(("now", "save"))
    turns = world.rng.randint(1, 60 if begin == "now" else 5)
    acts = [*world.ready(phone), entry_act(world, phone, after_ms=300)]
    acts.append(world.act("kill", phone.name, 300, turns=turns, how=how, **{"from": begin}))
    world.run(*acts, for_ms=world.rng.choice([600, 4_000]))


@action(2)
def kill_while_syncing(world: "World") -> None:
    phone = world.any_phone()
    how = {"committed": world.rng.random() < 0.5}
    begin = world.rng.choice(("now", "record"))
    turns = world.rng.randint(20, 300) if begin == "now" else world.rng.randint(1, 12)
    acts = [*world.ready(phone), entry_act(world, phone, after_ms=300)]
    acts.append(world.act("sync", phone.name, 340))
    acts.append(world.act("kill", phone.name, 345, turns=turns, how=how, **{"from": begin}))
    world.run(*acts, for_ms=6_000)


@action(1)
def freeze(world: "World") -> None:
    phone = world.any_phone()
    acts = world.ready(phone)
    acts += [entry_act(world, phone, after_ms=300), world.act("freeze", phone.name, 330)]
    acts += world.ready(phone, "b")
    acts.append(entry_act(world, phone, "b", 500))
    acts.append(world.act("thaw", phone.name, world.rng.randint(1_000, 200_000)))
    world.run(*acts, for_ms=world.rng.randint(5_000, 250_000))


@action(3)
def storage_fails(world: "World") -> None:
    phone = world.any_phone()
    names = world.rng.choice([[QUEUE], [QUEUE], [QUEUE, RESCUE], [QUEUE, RESCUE, RECORD], [RECORD]])
    error = world.rng.choice(["QuotaExceededError", "AbortError", "UnknownError"])
    fault = {"error": error, "times": world.rng.randint(1, 4), "names": names}
    acts = [*world.ready(phone), world.act("spoil", phone.name, 290, fault=fault)]
    acts += [entry_act(world, phone, after_ms=300 + 50 * at) for at in range(2)]
    world.network.faults["storage aborts"] += 1
    world.run(*acts, for_ms=world.rng.choice([700, 9_000]))


@action(2)
def storage_hangs(world: "World") -> None:
    phone = world.any_phone()
    names = world.rng.choice([[QUEUE], [QUEUE], [QUEUE, RESCUE], [RESCUE], [RECORD]])
    fault = {"hang_ms": world.rng.choice([2_000, 3_500, 9_000, 120_000]), "names": names}
    takes_turns = world.rng.random() < 0.3
    if takes_turns:  # when the queue is back, what took its place is not
        fault = {"hang_ms": 9_000, "names": [QUEUE]}
    acts = [*world.ready(phone), world.act("spoil", phone.name, 290, fault=fault)]
    acts += [entry_act(world, phone, after_ms=300 + 50 * at) for at in range(2)]
    if takes_turns:
        fault = {"hang_ms": 120_000, "names": [RESCUE]}
        acts.append(world.act("spoil", phone.name, 4_500, fault=fault))
    world.network.faults["storage hangs"] += 1
    world.run(*acts, for_ms=world.rng.choice([5_000, 20_000, 60_000]))


@action(0.8)
def wipe(world: "World") -> None:
    """The browser clears what this site stored; the credential is not in there."""
    phone = world.any_phone()
    unsent = world.rng.random() < 0.5
    if unsent:
        world.network.offline.add(phone.name)
        acts = [*world.ready(phone), entry_act(world, phone, after_ms=300)]
        world.run(*acts, for_ms=9_000)
    for one in world.oracle.shown.values():
        one.gone |= one.phone == phone.name
    phone.wiped = True
    phone.unsaved.clear()
    world.network.faults["wipes"] += 1
    world.run(world.act("wipe", phone.name), for_ms=50)
    if unsent:
        world.network.offline.discard(phone.name)
    world.run(*world.ready(phone), for_ms=9_000)


@action(3, only_in_focus=True)
def thrown_away(world: "World") -> None:
    """The browser begins its database anew (store/copies.js); what the clinic has is away."""
    phone = world.any_phone()
    if world.rng.random() < 0.7:
        world.network.offline.add(phone.name)
    acts = [*world.ready(phone), entry_act(world, phone, after_ms=300)]
    world.run(*acts, for_ms=9_000)
    seen = world.seen[phone.name]
    if seen["rescued"]:
        return  # the place beside the queue has no copy
    world.oracle.away(phone.name, seen["entries"])
    phone.unsaved.clear()
    world.network.faults["databases thrown away"] += 1
    world.run(world.act("throw_away", phone.name), for_ms=50)
    world.network.offline.discard(phone.name)
    world.run(*world.ready(phone), for_ms=9_000)


@action(0.4)
def flip_a_bit(world: "World") -> None:
    phone = world.any_phone()
    world.network.offline.add(phone.name)
    acts = [*world.ready(phone), entry_act(world, phone, after_ms=300)]
    world.run(*acts, for_ms=9_000)
    world.run(world.act("flip", phone.name, nth=world.rng.randint(0, 5)), for_ms=10)
    world.network.offline.discard(phone.name)


@action(3)
def weather(world: "World") -> None:
    network, phone = world.network, world.any_phone()
    if phone.name in network.offline:
        network.offline.discard(phone.name)
    else:
        network.offline.add(phone.name)


@action(0.5)
def proxy_shrinks(world: "World") -> None:
    world.network.most_bytes = world.rng.choice([None, 1_500, 4_000])
