"""What corrections and withdrawals make of the bouts, worked out once more from the log's text."""

import json
from collections import Counter
from typing import TYPE_CHECKING

from tests.simulation.oracle import Violation, served

if TYPE_CHECKING:
    from tests.simulation.world import World

SAID = ("contractions", "discomfort")


def bouts_as_said(world: "World") -> None:
    """A withdrawn bout counts nowhere; of several corrections the highest number counts."""
    from homeprogram.models import Bout, PatientDay

    bouts = _standing(world)
    expected = {id_: tuple(body["payload"][key] for key in SAID) for id_, body in bouts.items()}
    rows = Bout.objects.filter(patient_id=world.patient_id)
    found = {str(id_): tuple(said) for id_, *said in rows.values_list("entry__entry_id", *SAID)}
    if found != expected:
        raise Violation(f"bouts read {found}, and were said to be {expected}"[:400])
    counted: Counter = Counter()
    for body in bouts.values():
        counted[body["episode_id"], body["for_date"]] += body["payload"]["contractions"]
    days = PatientDay.objects.filter(patient_id=world.patient_id, contractions__gt=0)
    told = {
        (str(episode), day.isoformat()): contractions
        for episode, day, contractions in days.values_list("episode_id", "day", "contractions")
    }
    if told != dict(+counted):
        raise Violation(f"days count {told}, and were said to be {dict(+counted)}"[:400])


def _standing(world: "World") -> dict[str, dict]:
    """The bouts that nobody took back, with the payload that was said last."""
    bodies = [json.loads(row["raw"]) for row in served(world.patient_id).entries.values()]
    bouts = {body["id"]: body for body in bodies if body["kind"] == "bout"}
    for body in sorted(bodies, key=lambda one: (one["number"], one["id"])):
        if body["kind"] == "correction" and body["payload"]["of"] in bouts:
            bouts[body["payload"]["of"]] |= {"payload": body["payload"]["payload"]}
    for body in bodies:
        if body["kind"] == "withdrawal":
            bouts.pop(body["payload"]["of"], None)
    return bouts
