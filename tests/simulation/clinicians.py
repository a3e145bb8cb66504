"""What the desk and the operator do."""

from datetime import timedelta
from typing import TYPE_CHECKING

from tests.simulation.acting import action, entry_act
from tests.simulation.clinic import Time

if TYPE_CHECKING:
    from tests.simulation.world import World


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
        pause_end(pause=standing, by=standing.created_by, now=Time.now())
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


@action(2)
def backup(world: "World") -> None:
    world.copies.append(world.lab.database.copy(f"copy-{len(world.copies)}"))


@action(1.5)
def restore(world: "World") -> None:
    if not world.copies:
        return
    world.lab.database.restore(world.rng.choice(world.copies), Time.now())
    world.network.faults["restores"] += 1
    world.restored = world.renamed = True
    world.oracle.server_went_back()


@action(1)
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
