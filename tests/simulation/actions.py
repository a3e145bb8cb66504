"""What people, phones, proxies and operators do in a world."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from tests.simulation import entries
from tests.simulation.clinic import ZONES, Time

if TYPE_CHECKING:
    from tests.simulation.world import Handset, World

QUEUE, RESCUE, RECORD = "boutwise-queue", "boutwise-queue-rescue", "boutwise-record"
MINUTE_MS, HOUR_MS = 60_000, 3_600_000


@dataclass(frozen=True)
class Action:
    weight: float
    act: Callable[["World"], None]


ACTIONS: dict[str, Action] = {}


def action(weight: float) -> Callable:
    def keep(act: Callable) -> Callable:
        ACTIONS[act.__name__] = Action(weight, act)
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


# --- phones that die, freeze and fail ----------------------------------------------


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
    acts = [*world.ready(phone), entry_act(world, phone, after_ms=300)]
    acts.append(world.act("sync", phone.name, 340))
    acts.append(world.act("kill", phone.name, 345, turns=world.rng.randint(20, 300), how=how))
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
    names = world.rng.choice([[QUEUE], [QUEUE], [QUEUE, RESCUE], [RECORD]])
    fault = {"hang_ms": world.rng.choice([2_000, 3_500, 9_000, 120_000]), "names": names}
    acts = [*world.ready(phone), world.act("spoil", phone.name, 290, fault=fault)]
    acts += [entry_act(world, phone, after_ms=300 + 50 * at) for at in range(2)]
    world.network.faults["storage hangs"] += 1
    world.run(*acts, for_ms=world.rng.choice([5_000, 20_000]))


@action(0.4)
def wipe(world: "World") -> None:
    """The browser clears what this site stored; the credential is not in there."""
    phone = world.any_phone()
    for one in world.oracle.shown.values():
        one.gone |= one.phone == phone.name
    phone.wiped = True
    phone.unsaved.clear()
    world.network.faults["wipes"] += 1
    world.run(world.act("wipe", phone.name), for_ms=50)
    world.run(*world.ready(phone), for_ms=9_000)


@action(0.4)
def flip_a_bit(world: "World") -> None:
    phone = world.any_phone()
    world.network.offline.add(phone.name)
    acts = [*world.ready(phone), entry_act(world, phone, after_ms=300)]
    world.run(*acts, for_ms=9_000)
    world.run(world.act("flip", phone.name, nth=world.rng.randint(0, 5)), for_ms=10)
    world.network.offline.discard(phone.name)


# --- the network ---------------------------------------------------------------


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


# --- the desk -------------------------------------------------------------------


@action(0.8)
def revise(world: "World") -> None:
    from homeprogram.models import HomeProgram
    from homeprogram.selectors.record import stimulators_of_clinic
    from homeprogram.services.programs import revision_add
    from tests.conftest import make_dose, make_screening

    program = world.rng.choice(
        list(HomeProgram.objects.filter(patient_id=world.patient_id).order_by("created_at"))
    )
    now = Time.now()
    # After a stop report or a long pause, somebody has to screen again first.
    make_screening(program.episode, world.lab.cast.clinician, now, occasion="stop_report")
    revision_add(
        program=program, by=world.lab.cast.clinician,
        dose=make_dose(bouts_per_day=world.rng.randint(1, 3)),
        stimulator=stimulators_of_clinic(clinic=program.clinic)[0],
        first_day=(now + timedelta(days=2)).date(), reason="stronger", now=now,
    )  # fmt: skip


@action(0.5)
def pause(world: "World") -> None:
    from homeprogram.models import HomeProgram, Pause
    from homeprogram.services.programs import pause_end, program_pause

    programs = HomeProgram.objects.filter(patient_id=world.patient_id).order_by("created_at")
    program = world.rng.choice(list(programs))
    standing = Pause.objects.filter(program=program, last_day=None).first()
    if standing:
        pause_end(pause=standing, now=Time.now())
    else:
        program_pause(program=program, by=world.lab.cast.clinician, reason="travel", now=Time.now())


@action(1)
def lift(world: "World") -> None:
    from homeprogram.selectors.record import standing_holds_of_patient
    from homeprogram.services.holds import hold_lift

    holds = standing_holds_of_patient(patient=world.patient())
    if holds:
        hold_lift(
            patient=world.patient(), by=world.lab.cast.clinician, holds=holds[:2],
            reason="seen", now=Time.now(),
        )  # fmt: skip


@action(0.5)
def settle_held(world: "World") -> None:
    from homeprogram.selectors.record import held_entries_of_patient
    from homeprogram.services.custody import held_settle

    held = held_entries_of_patient(patient=world.patient())
    if held:
        held_settle(held=held[0], by=world.lab.cast.clinician, note="called", now=Time.now())


@action(0.3)
def revoke(world: "World") -> None:
    from homeprogram.models import Phone
    from homeprogram.services.pairing import phone_revoke

    phone = world.any_phone()
    row = Phone.objects.filter(id=world.seen[phone.name]["meta"].get("phone_id")).first()
    if row:
        phone_revoke(phone=row, state=world.rng.choice(["replaced", "stolen"]), now=Time.now())
        world.run(*world.ready(phone), entry_act(world, phone, after_ms=300), for_ms=6_000)


@action(0.5)
def pair_anew(world: "World") -> None:
    phone = world.any_phone()
    world.pair(phone.name, replaces=world.rng.random() < 0.3)


# --- the operator ------------------------------------------------------------------


@action(1.2)
def backup(world: "World") -> None:
    world.copies.append(world.lab.database.copy(f"copy-{len(world.copies)}"))


@action(0.7)
def restore(world: "World") -> None:
    if not world.copies:
        return
    world.lab.database.restore(world.rng.choice(world.copies), Time.now())
    world.network.faults["restores"] += 1
    world.restored = world.renamed = True
    world.oracle.server_went_back()


@action(0.5)
def failover(world: "World") -> None:
    """A standby takes over that lacks the last commits, with or without a new name."""
    world.copies.append(copy := world.lab.database.copy(f"copy-{len(world.copies)}"))
    phone = world.any_phone()
    world.run(*world.ready(phone), entry_act(world, phone, after_ms=300), for_ms=9_000)
    world.oracle.step(world.seen, Time.now())
    if world.rng.random() < 0.5:
        world.lab.database.restore(copy, Time.now())
        world.renamed = True
    else:
        world.lab.database.roll_back(copy)
        world.renamed = False
    world.restored = True
    world.network.faults["failovers"] += 1
    world.oracle.server_went_back()
