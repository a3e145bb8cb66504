"""One seed = one world: a patient, their phones, a clinician, a bad network and some weeks."""

import random
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from tests.simulation.actions import ACTIONS, ONLY_IN_FOCUS
from tests.simulation.clinic import BORN, ZONES, Cast, Chance, Database, Server, Time
from tests.simulation.end import settle
from tests.simulation.network import FAULTS, Network
from tests.simulation.node import Node
from tests.simulation.oracle import Oracle, Shown, Violation
from tests.simulation.order import Beginning, any_order

AMENDING = ("correction", "withdrawal")
DAY_MS = 86_400_000
SKEWS_MS = (0, 0, 0, 900, -30_000, 1_200_000, -1_200_000, 10_800_000, -DAY_MS, 700 * DAY_MS)


@dataclass
class Lab:
    """What all worlds of one process share."""

    node: Node
    server: Server
    database: Database
    cast: Cast


@dataclass
class Handset:
    """A phone as its owner knows it; what it stores lives in Node."""

    name: str
    zone: str
    skew_ms: int
    locks: bool
    latency_ms: int
    cookie: str | None = None
    tabs: set[str] = field(default_factory=set)
    frozen: bool = False
    unsaved: list[dict] = field(default_factory=list)  # forms that are still filled in
    wiped: bool = False
    paired: bool = False
    last_round: str | None = None

    def setting(self, now_ms: float) -> dict:
        wall = datetime.fromtimestamp((now_ms + self.skew_ms) / 1000, tz=UTC)
        offset = wall.astimezone(ZoneInfo(self.zone)).utcoffset()
        return {
            "skew_ms": self.skew_ms,
            "offset_min": int(offset.total_seconds() // 60),
            "zone": self.zone,
            "locks": self.locks,
            "latency_ms": self.latency_ms,
        }


class World:
    def __init__(self, seed: int, lab: Lab, focus: str = "") -> None:
        self.seed, self.lab, self.focus = seed, lab, focus.split()
        self.rng = rng = random.Random(seed)
        Chance.source = random.Random(seed + 1)
        Time.ms = int(BORN.timestamp() * 1000) + rng.randint(0, 26 * DAY_MS)
        lab.database.back_to_base()
        self.zone = rng.choice(ZONES)
        self.patient_id = lab.cast.patients[self.zone]
        self.phones = {name: self._handset(name) for name in ("A", "B")[: rng.randint(1, 2)]}
        # A chance of its own: one request more or less must not change what people do.
        self.network = Network(random.Random(f"network {seed}"), self.serve, self._rate())
        self.network.favoured = [fault for fault in FAULTS if fault in self.focus]
        self.network.log_identity = self.log_identity
        lab.node.answer = self.answer
        second = "thrown_away" in self.focus
        lab.node.begin(seed=seed, names=list(self.phones), now_ms=Time.ms, second=second)
        self.oracle = Oracle(self.patient_id, self.zone)
        # Both add to it: what was damaged, at rest or on its way.
        self.network.flipped = self.oracle.damaged
        self.counts: Counter[str] = Counter()
        self.history: list[str] = []
        self.seen: dict[str, dict] = {}
        self.giants: set[str] = set()  # entries that no push can carry
        self.amended: Shown | None = None
        self.copies: list[object] = []
        self.restored = False
        self.renamed = True  # False after a failover that kept the log's name
        self._acts: dict[int, dict] = {}
        self._next_act = 0

    def _handset(self, name: str) -> Handset:
        rng = self.rng
        zone = self.zone if rng.random() < 0.85 else rng.choice(ZONES)
        return Handset(
            name,
            zone,
            rng.choice(SKEWS_MS),
            locks=rng.random() < 0.7,
            latency_ms=rng.randint(5, 200),
        )

    # --- server ---------------------------------------------------------------

    def log_identity(self) -> str:
        from homeprogram.selectors.record import log_identity

        return str(log_identity())

    def answer(self, asked: dict) -> dict:
        Time.ms = max(Time.ms, int(asked["at_ms"]))
        asked["cookie"] = self.phones[asked["phone"]].cookie
        given = self.network.answer(asked)
        status = given.get("reply", {}).get("status", given["outcome"])
        self.note(f"  {asked['phone']} {asked['method']} {asked['address'][8:40]} -> {status}")
        return given

    def serve(self, asked: dict, *, reaches: bool = True, fail_at: int | None = None) -> dict:
        given = self.lab.server.serve(asked, asked["cookie"], fail_at=fail_at)
        if reaches and given["cookie"]:
            self.phones[asked["phone"]].cookie = given["cookie"]
        return given

    def patient(self) -> object:
        from homeprogram.models import Patient

        return Patient.objects.select_related("clinic").get(id=self.patient_id)

    # --- running ----------------------------------------------------------------

    def note(self, line: str) -> None:
        at = datetime.fromtimestamp(Time.ms / 1000, tz=UTC)
        self.history.append(f"{at:%m-%d %H:%M:%S.%f} {line}"[:160])

    def act(self, do: str, phone: str, after_ms: float = 0, **more: object) -> dict:
        self._next_act += 1
        act = {"id": self._next_act, "do": do, "phone": phone, "tab": "a", "after_ms": after_ms}
        self._acts[act["id"]] = made = act | more
        return made

    def run(self, *acts: dict, for_ms: float, look: bool = False) -> None:
        """Let these acts happen and that much time pass, then hear how they ended."""
        self.note(f"run {for_ms / 1000:.1f} s: " + ", ".join(self._told(act) for act in acts))
        settings = {name: one.setting(Time.ms) for name, one in self.phones.items()}
        said = self.lab.node.run(settings=settings, acts=acts, for_ms=for_ms, look=look)
        Time.ms = max(Time.ms, int(said["now_ms"]))
        self.seen = said["phones"]
        for event in said["events"]:
            self._hear(event)
        self.network.deliver_late(Time.ms)

    @staticmethod
    def _told(act: dict) -> str:
        more = {k: v for k, v in act.items() if k not in ("id", "do", "phone", "payload", "place")}
        return f"{act['phone']}.{act['do']} {more}"

    def _hear(self, event: dict) -> None:
        if "killed" in event:
            handset = self.phones[event["killed"]]
            handset.tabs.clear()
            handset.frozen = False
            if event["lost_saves"]:
                raise Violation(f"phone {handset.name} left the page and lost a save under way")
        elif "told" in event:
            self.phones[event["phone"]].last_round = event["told"]
            self.note(f"  {event['phone']} round: {event['told']} {event.get('error') or ''}")
            if event["told"] == "failed":
                self.counts["rounds failed"] += 1
        else:
            act = self._acts.pop(event["act"])
            self.note(f"  {act['phone']}.{act['do']} ended: {str(event['result'])[:100]}")
            if hear := getattr(self, f"_heard_{act['do']}", None):
                hear(act, event["result"], event.get("at_ms", Time.ms))

    # --- how acts ended -------------------------------------------------------------

    def _heard_save(self, act: dict, result: dict, at_ms: float) -> None:
        if "fields" not in result:
            self.counts["saves without a place"] += 1
            return
        if not result["saved"]:
            self.counts["not saved, and said so"] += 1
            again = {key: act[key] for key in ("kind", "payload")}
            place = result["place"]
            form = again | {"entry": result["fields"]["id"], "place": place}
            self.phones[act["phone"]].unsaved.append(form)
            return
        self.counts[f"saved in the {result['where']}"] += 1
        fields = result["fields"]
        if act.get("giant"):
            self.giants.add(fields["id"])
        self._day_is_as_lived(act, fields, result["wall_ms"])
        self.oracle.shown[fields["id"]] = Shown(
            fields["id"], act["phone"], fields["kind"], fields["for_date"],
            fields["episode_id"], fields, at_ms,
        )  # fmt: skip

    def _day_is_as_lived(self, act: dict, fields: dict, wall_ms: float) -> None:
        """The day and time on the wall of the room, whatever UTC says."""
        if "shift" not in act:
            return
        # The saving itself may have taken a few seconds.
        moment = datetime.fromtimestamp(fields["device_ms"] / 1000, tz=UTC)
        wall = moment + timedelta(minutes=fields["offset_min"])
        days = {(wall + timedelta(days=act["shift"])).date().isoformat()}
        days |= {(wall + timedelta(days=act["shift"], seconds=-10)).date().isoformat()}
        if fields["for_date"] not in days or fields["local_time"] != f"{wall:%Y-%m-%dT%H:%M:%S}":
            raise Violation(f"{fields['id']} is dated {fields['for_date']} {fields['local_time']}")
        if not fields["device_ms"] <= wall_ms:
            raise Violation("an entry from the future of its own phone")

    def _heard_plant(self, act: dict, result: dict, at_ms: float) -> None:
        self.counts["planted"] += "planted" in result

    def _heard_flip(self, act: dict, result: dict, at_ms: float) -> None:
        if result.get("flipped"):
            self.counts["bits flipped at rest"] += 1
            rows = {row["id"]: row for row in self.seen[act["phone"]]["entries"]}
            row = rows[result["flipped"]]
            self.oracle.damaged.setdefault(row["sha256"], set()).add(row["digest"])

    def _heard_redeem(self, act: dict, result: dict, at_ms: float) -> None:
        self.phones[act["phone"]].paired |= bool(result.get("paired"))

    def _heard_round(self, act: dict, result: dict, at_ms: float) -> None:
        told = result.get("round", result.get("failed"))
        self.phones[act["phone"]].last_round = told

    # --- the life of a world ----------------------------------------------------------

    def live(self) -> None:
        """Everything, faults and all; raises Violation."""
        self.note(f"seed {self.seed}: zone {self.zone}, faults {self.network.rate}")
        for name in self.phones:
            self.pair(name, replaces=False)
        self.beginning = Beginning(self)
        habits = self._habits()
        names, weights = list(habits), list(habits.values())
        for _ in range(self.rng.randint(5, 18) * (2 if self.focus else self.rng.choice((1, 1, 2)))):
            (name,) = self.rng.choices(names, weights)
            self.counts["steps"] += 1
            self.note(f"- {name}")
            (ACTIONS | ONLY_IN_FOCUS)[name].act(self)
            self.oracle.step(self.seen, Time.now())
        settle(self)
        if any(one.kind in AMENDING for one in self.oracle.shown.values()):
            any_order(self, self.beginning)
        self.beginning.close()

    def _habits(self) -> dict[str, float]:
        """Not every world has everything: some things never happen there, some all the time."""
        habits = {
            name: one.weight * (1 if name == "save" else self.rng.choice((0, 1, 1, 4)))
            for name, one in ACTIONS.items()
        }
        if self.focus:  # then little else, so that it comes together within one world
            habits = {name: one if name == "save" else one / 4 for name, one in habits.items()}
        habits |= {name: 12 for name in self.focus if name in ACTIONS | ONLY_IN_FOCUS}
        if "storm" in self.focus:  # it spoils answers; without a network there are none
            habits |= {"weather": 0, "save": 30}
        return habits

    def _rate(self) -> float:
        rate = self.rng.choice((0, 0.05, 0.15, 0.4))
        return 0.6 if "storm" in self.focus else 0.3 if set(self.focus) & set(FAULTS) else rate

    def any_phone(self) -> Handset:
        return self.phones[self.rng.choice(list(self.phones))]

    def ready(self, phone: Handset, tab: str = "a") -> list[dict]:
        """The acts that open a page of the app where none is open."""
        if tab in phone.tabs:
            return []
        phone.tabs.add(tab)
        return [self.act("open", phone.name, tab=tab)]

    def pair(self, name: str, *, replaces: bool, mine: bool = True) -> None:
        """A code from the desk, typed into the phone, confirmed at the desk."""
        from homeprogram.models import Phone
        from homeprogram.services.pairing import code_create, phone_confirm

        handset = self.phones[name]
        handset.paired = False
        for _ in range(3):  # a code whose answer was lost is used up: the desk makes another
            desk = self.lab.cast.clinician
            code = code_create(patient=self.patient(), by=desk, now=Time.now(), replaces=replaces)
            redeem = self.act("redeem", name, 400, code=code.code, mine=mine)
            # In fair weather an answer comes at once; in foul it may need its deadline.
            for_ms = 25_000 if self.network.rate else 1_800
            self.run(*self.ready(handset), redeem, for_ms=for_ms)
            if handset.paired:
                break
        for phone in Phone.objects.filter(code=code.row, state="waiting"):
            phone_confirm(phone=phone, by=self.lab.cast.clinician, now=Time.now())
        handset.wiped = False
        self.run(self.act("sync", name), for_ms=4_000)
