"""Whatever comes in whatever order, a reaction nobody has closed stands on an open card.

Not by its reason alone: the card names it, counts it, and says since when it waits.
"""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from clinician.selectors.order import Standing, panel_key
from homeprogram.calc.flag_facts import Card, EpisodeFacts, Facts, ReportFact, SkinFact
from homeprogram.calc.flags import RULE_VERSION, SAFETY, UNTIL_CLOSED, judged
from homeprogram.models import Flag, FlagState, Patient
from homeprogram.selectors.plans import Context
from homeprogram.services.flags import _changes
from tests.rules.build import DEFAULTS, UTC_ZONE, written_days

START = datetime(2030, 3, 4, 8, tzinfo=UTC)
HISTORIES, LONG = 1_000, 10_000
STEPS = 25


class History:
    """One patient's random weeks, in memory: the real rules, the real life of cards."""

    def __init__(self, seed: int) -> None:
        self.chance = Random(seed)
        self.now = START
        self.patient = Patient(zone="UTC")
        self.flags: list[Flag] = []
        self.skin: list[SkinFact] = []
        self.stops: list[ReportFact] = []
        self.owed: dict[str, str] = {}  # entry nobody has closed since: its reason
        self.came: dict[str, dict[str, datetime]] = {"skin_reaction": {}, "stop_report": {}}
        self.unseen: dict[str, datetime] = {}  # by reason, since when something waits unseen
        self.wanted: list[Card] = []

    def step(self) -> None:
        self.now += timedelta(hours=self.chance.choice((0, 1, 12, 24, 72, 240)))
        acts = (self.reacts, self.stops_, self.quiet, self.closes, self.sees, self.quiet)
        self.chance.choice(acts)()
        self.evaluate()

    def reacts(self) -> None:
        name = f"skin-{len(self.skin)}"
        day, moment = self._late_day(), self.chance.choice(("before", "after", "next_morning"))
        grade = self.chance.choice((0, 1, 3, 4))
        self.skin.append(SkinFact(name, "left", day, moment, grade, False, self.now))
        if grade >= 3:
            self._owes(name, "skin_reaction")

    def stops_(self) -> None:
        name = f"stop-{len(self.stops)}"
        self.stops.append(ReportFact(name, None, self._late_day(), "fever", self.now))
        self._owes(name, "stop_report")

    def _owes(self, name: str, reason: str) -> None:
        self.owed[name] = reason
        self.came[reason][name] = self.now
        self.unseen.setdefault(reason, self.now)

    def quiet(self) -> None:
        """Nothing arrives; time passes."""

    def closes(self) -> None:
        """Somebody closes one open card, whichever, having seen what it names."""
        standing = [flag for flag in self.flags if flag.state == FlagState.OPEN]
        if standing:
            flag = self.chance.choice(standing)
            flag.state, flag.closed_at = FlagState.CLOSED, self.now
            mine = [name for name, reason in self.owed.items() if reason == flag.reason]
            for name in mine:
                del self.owed[name]
            self.unseen.pop(flag.reason, None)

    def sees(self) -> None:
        for flag in self.flags:
            if flag.state == FlagState.OPEN:
                flag.seen_at = self.now
                self.unseen.pop(flag.reason, None)

    def evaluate(self) -> None:
        since = self.now - timedelta(days=DEFAULTS.window_days)
        days = "".join(self.chance.choice("DMUN") for _ in range(14))
        told = Facts(
            now=self.now,
            zone=UTC_ZONE,
            watermark=self.now,
            last_contact_at=self.now,
            episodes=(EpisodeFacts("left", written_days(days)),),
            skin=tuple(one for one in self.skin if one.received_at >= since),
            stop_reports=tuple(one for one in self.stops if one.received_at >= since),
        )
        context = Context(self.patient, self.now, UTC_ZONE, flags=self.flags)
        self.wanted = judged(told, DEFAULTS).cards
        fresh, _ = _changes(context, self.wanted, ())
        self.flags += fresh

    def _late_day(self) -> str:
        """Phones send late: a day up to a fortnight ago."""
        return (self.now - timedelta(days=self.chance.randrange(15))).date().isoformat()

    def faults(self) -> list[str]:
        """What a card says that it should not, or does not say that it should."""
        one_each = {(flag.episode_id, flag.reason): flag for flag in self.flags}
        assert len(one_each) == len(self.flags)
        found = [fault for card in self.wanted for fault in _untrue(one_each[card.key], card)]
        wanted = {card.key for card in self.wanted}
        found += [
            f"{key}: nothing calls for it"
            for key, flag in one_each.items()
            if flag.state == FlagState.OPEN and key not in wanted and key[1] not in UNTIL_CLOSED
        ]
        for reason, came in self.came.items():
            cards = [flag for flag in self.flags if flag.reason == reason]
            found += [fault for flag in cards for fault in self._amiss(flag, came)]
            if came and not cards:
                found.append(f"{reason}: no card")
        return found

    def _amiss(self, flag: Flag, came: dict[str, datetime]) -> Iterator[str]:
        """A safety card against everything of its kind that ever came."""
        owed = {name for name, reason in self.owed.items() if reason == flag.reason}
        recent = {
            name
            for name, at in came.items()
            if at >= self.now - timedelta(days=DEFAULTS.window_days)
        }
        named, said = set(flag.basis["entries"]), flag.reason
        if not flag.safety:
            yield f"{said}: not said to be about safety"
        if (flag.state == FlagState.OPEN) != bool(owed):
            yield f"{said}: {flag.state} with {len(owed)} owed"
        if flag.count != len(set(came.values())) or flag.fact_at != max(came.values()):
            yield f"{said}: counts {flag.count} up to {flag.fact_at}"
        if not named <= came.keys() or (owed and not owed & recent <= named):
            yield f"{said}: names {named}"
        if flag.state == FlagState.OPEN and owed:
            if flag.opened_at != min(came[name] for name in owed):
                yield f"{said}: open since {flag.opened_at}"
            waits = None if flag.seen_at else flag.waits_since
            if waits != self.unseen.get(said):
                yield f"{said}: waits since {waits}"

    @property
    def outranked(self) -> bool:
        """By a patient who has one card of every kind that is not about safety, for years."""
        mine = tuple((f.reason, f.opened_at) for f in self.flags if f.state == FlagState.OPEN)
        if not SAFETY & {reason for reason, _ in mine}:
            return False
        other = Standing(
            self.patient.id, (("contact_wanted", START - timedelta(days=900)),), True, None, None
        )
        return panel_key(Standing(self.patient.id, mine, False, self.now, self.now)) > panel_key(
            other
        )


def _untrue(flag: Flag, card: Card) -> Iterator[str]:
    """A stored card against the one that the rules call for now."""
    if flag.state == FlagState.CLOSED:
        if flag.reason not in UNTIL_CLOSED and card.fact_at > flag.closed_at:
            yield f"{card.key}: stays closed on news"
    elif flag.state != FlagState.OPEN:
        yield f"{card.key}: {flag.state}"
    elif (flag.basis, flag.safety) != (card.basis, card.reason in SAFETY):
        yield f"{card.key}: says {flag.basis}"
    elif flag.fact_at < card.fact_at or flag.rule_version != RULE_VERSION:
        yield f"{card.key}: as of {flag.fact_at}, version {flag.rule_version}"


@pytest.fixture
def seeds(long_run) -> range:
    return range(LONG if long_run else HISTORIES)


def test_no_safety_card_is_lost_or_outranked_in_any_history(seeds):
    raised = 0
    for seed in seeds:
        history = History(seed)
        for _ in range(STEPS):
            history.step()
            assert not history.faults(), f"seed {seed}: {history.faults()}"
            assert not history.outranked, f"seed {seed}"
        raised += len(history.stops)

    assert raised > len(seeds)  # there was something to lose
