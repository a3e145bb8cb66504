"""Random pushes, resends, lost replies, reorderings and corrections from two phones.

Run against the real requests and the real database. What must hold after every
step: a receipt is true, versions have no gap, and rows read from entries are
what a rebuild makes of them. At the end the same entries, pushed to a fresh
patient in another order, must give the same days.
"""

import random
import uuid
from dataclasses import dataclass, field

import pytest
from django.utils import timezone
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from homeprogram.models import Bout, Change, Entry, HeldEntry, PatientDay, SkinCheck
from homeprogram.services.patients import patient_add
from homeprogram.services.rebuild import record_check
from tests.conftest import PairedPhone, make_program
from tests.entries import BOUT, make_entry, skin

DAYS = [f"2030-03-{day:02d}" for day in range(5, 9)]
PAYLOADS = st.one_of(
    st.builds(
        lambda contractions, minutes, value: (
            "bout",
            BOUT | {
                "contractions": contractions,
                "minutes": minutes,
                "intensity": [{"channel": 1, "value": value, "unit": "mA"}],
            },
        ),
        st.integers(0, 20), st.sampled_from([0.1, 0.2, 7, 15]), st.sampled_from([20, 30, 61]),
    ),
    st.builds(
        lambda moment, raised, itchy: ("skin_check", skin(moment, raised=raised, itchy=itchy)),
        st.sampled_from(["before", "after", "next_morning"]), st.booleans(), st.booleans(),
    ),
    st.builds(
        lambda reason: ("not_done", {"ordinal": 1, "reason": reason}),
        st.sampled_from(["pain", "no_time"]),
    ),
    st.just(("stop_report", {"symptoms": ["numb"]})),
    st.just(("song", {"verse": 1})),
)  # fmt: skip


@dataclass(frozen=True)
class Written:
    """An entry before it is frozen: the same for whichever patient it is pushed to."""

    id: str
    phone: int
    number: int
    kind: str
    payload: dict
    day: str


@dataclass
class World:
    """A patient with two phones, and their entries as frozen there."""

    patient: object
    revision: object
    phones: list[PairedPhone]
    frozen: dict[str, dict] = field(default_factory=dict)

    @classmethod
    def made(cls, clinician) -> "World":
        now = timezone.now()
        patient = patient_add(by=clinician, name="Wilma Tarn", now=now, zone="UTC")
        revision = make_program(patient, clinician, now)
        phones = [
            # Standing codes: as many worlds as it takes, without waiting for a limit.
            PairedPhone(patient, clinician, now, replaces=False, standing=True)
            for _ in range(2)
        ]
        return cls(patient, revision, phones)

    def freeze(self, written: Written) -> dict:
        return self.frozen.setdefault(
            written.id,
            make_entry(
                written.kind,
                written.payload,
                phone_id=str(self.phones[written.phone].id),
                number=written.number,
                id=written.id,
                episode_id=str(self.revision.program.episode_id),
                revision_id=str(self.revision.id),
                for_date=written.day,
            ),
        )

    def push(self, phone: int, written: list[Written], *, claim: bool = False) -> list[dict]:
        reply = self.phones[phone].push(*map(self.freeze, written), claim=claim or None)
        assert reply.status_code == 200, reply.content
        return reply.json()["receipts"]

    def days(self) -> list[tuple]:
        fields = (
            "day", "bouts_done", "bouts_partial", "contractions", "minutes", "at_floor",
            "not_done", "excused",
        )  # fmt: skip
        return sorted(PatientDay.objects.filter(patient=self.patient).values_list(*fields))

    def facts(self) -> list[tuple]:
        bouts = Bout.objects.filter(patient=self.patient).values_list(
            "entry__entry_id", "contractions", "complete", "at_floor", "over_ceiling"
        )
        checks = SkinCheck.objects.filter(patient=self.patient).values_list(
            "entry__entry_id", "grade", "itchy"
        )
        return sorted([*bouts, *checks])


class TwoPhones(RuleBasedStateMachine):
    clinician: object  # set by the test

    def __init__(self) -> None:
        super().__init__()
        self.world = World.made(self.clinician)
        self.written: list[Written] = []
        self.unsent: list[list[Written]] = [[], []]
        self.receipts: list[dict] = []
        self.reads_as: dict[str, str | None] = {}  # the kind of fact a chain ends at

    def _write(self, phone: int, kind: str, payload: dict, day: str) -> None:
        number = 1 + sum(one.phone == phone for one in self.written)
        one = Written(str(uuid.uuid4()), phone, number, kind, payload, day)
        self.written.append(one)
        self.unsent[phone].append(one)
        self.world.phones[phone].high = number

    @rule(phone=st.integers(0, 1), said=PAYLOADS, day=st.sampled_from(DAYS))
    def save(self, phone: int, said: tuple[str, dict], day: str) -> None:
        self._write(phone, *said, day)
        self.reads_as[self.written[-1].id] = said[0]

    @rule(phone=st.integers(0, 1), data=st.data(), day=st.sampled_from(DAYS), said=PAYLOADS)
    def correct(self, phone: int, data: st.DataObject, day: str, said: tuple[str, dict]) -> None:
        if target := self._target(data):
            kind, payload = said
            fits = kind == self.reads_as[target.id]
            # An app cannot write one that does not fit; nothing amends it then.
            correction = {"of": target.id, "payload": payload, "reason": "mistyped"}
            self._write(phone, "correction", correction, day)
            self.reads_as[self.written[-1].id] = kind if fits else None

    @rule(phone=st.integers(0, 1), data=st.data(), day=st.sampled_from(DAYS))
    def withdraw(self, phone: int, data: st.DataObject, day: str) -> None:
        if target := self._target(data):
            self._write(phone, "withdrawal", {"of": target.id, "reason": "not mine"}, day)
            self.reads_as[self.written[-1].id] = self.reads_as[target.id]

    def _target(self, data: st.DataObject) -> Written | None:
        known = [one for one in self.written if self.reads_as[one.id]]
        return data.draw(st.sampled_from(known)) if known else None

    @rule(phone=st.integers(0, 1), lost=st.booleans(), claim=st.booleans(), rng=st.randoms())
    def push(self, phone: int, *, lost: bool, claim: bool, rng: random.Random) -> None:
        """Any part of the queue in any order, some sent before; the reply may be lost."""
        queue = self.unsent[phone]
        mine = [one for one in self.written if one.phone == phone and one not in queue]
        batch = rng.sample(queue, rng.randint(0, len(queue))) + rng.sample(mine, min(2, len(mine)))
        rng.shuffle(batch)
        receipts = self.world.push(phone, batch, claim=claim and len(batch) >= len(queue))
        if lost:
            return
        frozen = [self.world.frozen[one.id]["sha256"] for one in batch]
        assert [receipt["sha256"] for receipt in receipts] == frozen
        self.receipts += receipts
        self.unsent[phone] = [one for one in queue if one not in batch]

    @invariant()
    def every_receipt_is_true(self) -> None:
        for receipt in self.receipts:
            table = HeldEntry if receipt["outcome"] == "held" else Entry
            row = table.objects.get(patient=self.world.patient, entry_id=receipt["id"])
            assert (row.sha256, row.version) == (receipt["sha256"], receipt["version"])

    @invariant()
    def versions_have_no_gap(self) -> None:
        self.world.patient.refresh_from_db()
        changes = Change.objects.filter(patient=self.world.patient).order_by("version")
        last = self.world.patient.log_version
        assert list(changes.values_list("version", flat=True)) == list(range(1, last + 1))

    @invariant()
    def rows_are_what_a_rebuild_makes(self) -> None:
        differing = record_check(patient_id=self.world.patient.id)
        assert not +differing, differing

    def teardown(self) -> None:
        for phone in (0, 1):
            self.world.push(phone, self.unsent[phone])
        other = World.made(self.clinician)
        queues = [[one for one in self.written if one.phone == phone] for phone in (0, 1)]
        for phone in (1, 0):
            for one in reversed(queues[phone]):
                other.push(phone, [one])
        assert other.days() == self.world.days()
        assert other.facts() == self.world.facts()


@pytest.mark.django_db
def test_two_phones_and_a_bad_network_lose_double_and_reorder_nothing(clinician):
    TwoPhones.clinician = clinician

    run_state_machine_as_test(
        TwoPhones, settings=settings(max_examples=12, stateful_step_count=14, deadline=None)
    )
