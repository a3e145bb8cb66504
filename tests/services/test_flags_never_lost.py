"""Whatever comes in whatever order, a reaction nobody has closed stands on an open card."""

from datetime import UTC, datetime, timedelta
from random import Random

import pytest

from clinician.selectors.order import Standing, panel_key
from homeprogram.calc.flag_facts import EpisodeFacts, Facts, ReportFact, SkinFact
from homeprogram.calc.flags import SAFETY, judged
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

    def step(self) -> None:
        self.now += timedelta(hours=self.chance.choice((0, 1, 12, 24, 72, 240)))
        act = self.chance.choice((self.reacts, self.stops_, self.quiet, self.closes, self.quiet))
        act()
        self.evaluate()

    def reacts(self) -> None:
        name = f"skin-{len(self.skin)}"
        day, moment = self._late_day(), self.chance.choice(("before", "after", "next_morning"))
        grade = self.chance.choice((0, 1, 3, 4))
        self.skin.append(SkinFact(name, "left", day, moment, grade, False, self.now))
        if grade >= 3:
            self.owed[name] = "skin_reaction"

    def stops_(self) -> None:
        name = f"stop-{len(self.stops)}"
        self.stops.append(ReportFact(name, None, self._late_day(), "fever", self.now))
        self.owed[name] = "stop_report"

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
        fresh, _ = _changes(context, judged(told, DEFAULTS).cards, ())
        self.flags += fresh

    def _late_day(self) -> str:
        """Phones send late: a day up to a fortnight ago."""
        return (self.now - timedelta(days=self.chance.randrange(15))).date().isoformat()

    @property
    def lost(self) -> list[str]:
        standing = {flag.reason for flag in self.flags if flag.state == FlagState.OPEN}
        return [name for name, reason in self.owed.items() if reason not in standing]

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


@pytest.fixture
def seeds(long_run) -> range:
    return range(LONG if long_run else HISTORIES)


def test_no_safety_card_is_lost_or_outranked_in_any_history(seeds):
    raised = 0
    for seed in seeds:
        history = History(seed)
        for _ in range(STEPS):
            history.step()
            assert not history.lost, f"seed {seed}: {history.lost}"
            assert not history.outranked, f"seed {seed}"
        raised += len(history.stops)

    assert raised > len(seeds)  # there was something to lose
