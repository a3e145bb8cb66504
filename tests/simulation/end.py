"""The faults stop: what must then come to rest, and what must be where."""

from typing import TYPE_CHECKING

from tests.simulation.amended import bouts_as_said
from tests.simulation.clinic import Time
from tests.simulation.oracle import WAITING, Shown, Violation, served

if TYPE_CHECKING:
    from tests.simulation.world import World

QUIET_MS = 120_000  # longer than a lease that a dead page left behind
SANE_CLOCK_MS = 5_400_000
GOOD = ("settled", "revoked_replaced", "revoked_stolen", "not_paired", "unpaired", "waiting")


def settle(world: "World") -> None:
    """Heals the world and holds it to its promises; raises Violation."""
    world.network.calm()
    how = {"committed": True}
    for name in world.phones:
        world.run(world.act("heal", name), world.act("stop", name, 10, how=how), for_ms=20)
    world.run(for_ms=QUIET_MS)
    calm_ms = Time.ms
    world.oracle.step(world.seen, Time.now())
    _pair_the_forgotten(world)
    for name in world.phones:
        _drain(world, name)
    # What one phone sent is news to the other.
    world.run(*(world.act("round", name) for name in world.phones), for_ms=60_000, look=True)
    world.oracle.step(world.seen, Time.now())
    _everything_arrived(world)
    _watermarks_moved(world, calm_ms)
    _records_agree(world)
    _projections_agree(world)
    bouts_as_said(world)


def _pair_the_forgotten(world: "World") -> None:
    """A restore to before its pairing makes a phone a stranger: the desk pairs it anew."""
    state = served(world.patient_id)
    for name in world.phones:
        own = world.seen[name]["meta"].get("phone_id")
        if own and own not in state.phones:
            world.counts["phones paired anew after a restore"] += 1
            world.pair(name, replaces=False)
            world.run(world.act("stop", name, how={"committed": True}), for_ms=QUIET_MS)


def _drain(world: "World", name: str) -> None:
    """Opening the app is the first round; after a restore, offering again takes one more."""
    phone = world.phones[name]
    world.run(*world.ready(phone), for_ms=40_000)
    for _ in range(2 if world.restored else 1):
        if phone.last_round in GOOD and not _waiting(world, name):
            break
        world.run(world.act("round", name), for_ms=40_000)
    state = served(world.patient_id).phones.get(world.seen[name]["meta"].get("phone_id"))
    if state in ("active", "replaced") and (stuck := _waiting(world, name)):
        raise Violation(f"phone {name} is stuck with {stuck[:3]}: {phone.last_round}")
    settled = ("settled", "stuck") if world.giants else ("settled",)
    if state == "active" and phone.last_round not in settled:
        raise Violation(f"phone {name} does not come to rest: {phone.last_round}")


def _waiting(world: "World", name: str) -> list[str]:
    seen = world.seen[name]
    waiting = [row["id"] for row in seen["entries"] if row["state"] in WAITING]
    return [id_ for id_ in (*waiting, *seen["rescued"]) if id_ not in world.giants]


def _everything_arrived(world: "World") -> None:
    """Every entry shown as saved is at the clinic, stored or in custody."""
    state = served(world.patient_id)
    here = {row["entry_id"] for row in (*state.entries.values(), *state.held.values())}
    for one in world.oracle.shown.values():
        if one.gone:
            continue
        phone = world.seen[one.phone]
        if one.away and one.id in here:
            continue
        row = _numbered(phone, one)
        if state.phones.get(phone["meta"].get("phone_id")) not in ("active", "replaced"):
            world.counts["entries kept on a revoked phone"] += 1
        elif one.id in world.giants:
            world.counts["entries too big for any push"] += 1
        elif one.id not in here and not _texts(world, row) & state.hashes:
            raise Violation(f"{one.kind} {one.id} of phone {one.phone} never arrived")


def _numbered(phone: dict, one: Shown) -> dict:
    """The row of an entry; what its queue could not take in time has long been taken over."""
    rows = [row for row in phone["entries"] if row["id"] == one.id]
    if not rows:
        raise Violation(f"{one.kind} {one.id} of phone {one.phone} was left in the rescue")
    return rows[0]


def _texts(world: "World", row: dict) -> set[str]:
    """Hashes of all that an entry may be there as: itself, or what a flipped bit made of it."""
    return {row["sha256"], row["digest"], *world.oracle.damaged.get(row["sha256"], ())}


def _watermarks_moved(world: "World", calm_ms: float) -> None:
    """Once all is sent, the clinic knows that nothing is missing any more."""
    from homeprogram.models import Phone

    for name, phone in world.seen.items():
        row = Phone.objects.filter(id=phone["meta"].get("phone_id"), state="active").first()
        if row is None or abs(world.phones[name].skew_ms) > SANE_CLOCK_MS:
            continue
        if world.giants & {entry["id"] for entry in phone["entries"]}:
            continue  # it holds what cannot be sent, and says so
        if row.heard_at.timestamp() * 1000 < calm_ms:
            raise Violation(f"phone {name} said all, and its watermark stays at {row.heard_at}")


def _projections_agree(world: "World") -> None:
    from homeprogram.services.rebuild import record_check

    differing = record_check(patient_id=world.patient_id)
    if +differing:
        raise Violation(f"rows differ from what a rebuild makes: {dict(+differing)}")


def _records_agree(world: "World") -> None:
    """What a phone pulled is what the server would tell it now, from the start."""
    state = served(world.patient_id)
    told = _all_told(world)
    if untold := {row["entry_id"] for row in state.entries.values()} - told["entry"].keys():
        raise Violation(f"no phone will ever hear of {sorted(untold)[:3]}")
    for name, phone in world.seen.items():
        if state.phones.get(phone["meta"].get("phone_id")) != "active" or not world.renamed:
            continue
        world.counts["records compared"] += 1
        for kind, rows in told.items():
            mine = {row.get("id", row.get("key")): row for row in phone["record"][kind]}
            mine.pop("cursor", None)
            if mine != rows:
                raise Violation(f"phone {name} knows other {kind} rows than the clinic tells")


def _all_told(world: "World") -> dict[str, dict]:
    import json

    from homeprogram.selectors.pull import changes_rendered

    told: dict[str, dict] = {
        kind: {}
        for kind in ("program", "hold", "lift", "entry", "entry_state", "strength_test", "single")
    }
    after, more = 0, True
    while more:
        page = changes_rendered(patient=world.patient(), after=after)
        after, more = page.version, page.more
        for change in json.loads(json.dumps(page.changes)):
            kind = change["type"]
            if kind == "texts":
                told["single"]["texts"] = {"key": "texts", "value": change["texts"]}
            elif kind == "entry_state":
                told[kind][change["id"]] = change
            elif kind == "entry":
                body = json.loads(change["entry"]["body"])
                row = {"id": body["id"], "for_date": body["for_date"], "version": change["version"]}
                told[kind][body["id"]] = change["entry"] | row
            else:
                told[kind][change[kind]["id"]] = change[kind]
    return told
