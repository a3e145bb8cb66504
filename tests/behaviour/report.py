"""The figures, line by line."""

from collections.abc import Iterator
from pathlib import Path
from statistics import median

from homeprogram.calc.flags import RULE_VERSION
from homeprogram.calc.limits import FlagRules
from tests.behaviour import measures, picture
from tests.behaviour.people import HABITS, steady


def every(count: int, days: int, seed: int, drawing: Path | None = None) -> Iterator[str]:
    asked = {"count": count, "days": days, "seed": seed, "rules": FlagRules()}
    yield (
        f"Rules of version {RULE_VERSION}, defaults; {count} patients a habit, "
        f"{days // 7} weeks, a bout due every day, seed {seed}"
    )
    yield from _habits(asked)
    yield from _phones(asked)
    yield ""
    variants = measures.trade_off(count=max(10, count // 2), days=days, seed=seed)
    yield from picture.table(variants)
    if drawing:
        drawing.write_text(picture.svg(variants))
        yield f"drawn to {drawing}"


def steadily(share: float, count: int, days: int, seed: int) -> Iterator[str]:
    """One habit alone, on many people: what a seed's figure is a sample of."""
    found = measures.courses(
        lambda rng, n: steady(rng, n, share), count=count, days=days, seed=seed, rules=FlagRules()
    )
    yield (
        f"Rules of version {RULE_VERSION}, defaults; {count} patients at {share:.0%}, "
        f"{days // 7} weeks ({count * days // 7} patient-weeks), seed {seed}; mean ± standard error"
    )
    for reasons in (("missed_days",), ("no_contact",), measures.ABSENCE):
        yield f"{' and '.join(reasons):<28}{measures.rate(found, *reasons)}"
    weeks = measures.rates_by_week(found, "missed_days")
    yield f"missed_days by week: {', '.join(str(one) for one in weeks)}"
    partly = measures.partly_told(found, "missed_days")
    yield f"missed_days that tell of a day told before: {partly:.1%}"


def _habits(asked: dict) -> Iterator[str]:
    yield f"\n{'habit':<26}{'missed':>8}{'silent':>8}{'both':>8}{'all':>8}{'repeats':>9}  found"
    for habit in HABITS:
        found = measures.courses(habit, **asked)
        rates = [measures.a_week(found, *r) for r in (("missed_days",), ("no_contact",))]
        yield (
            f"{found[0].person.kind:<26}{rates[0]:>8.3f}{rates[1]:>8.3f}{sum(rates):>8.3f}"
            f"{measures.a_week(found):>8.3f}{measures.repeat_share(found):>9.1%}  {_found(found)}"
        )


def _found(found: list) -> str:
    if found[0].person.stops_on is not None:
        shown = [measures.due_days_until_shown(one) or 99 for one in found]
        return f"shown after {median(shown):g} due days, at the latest {max(shown)}"
    reactions = sum(len(one.person.reactions) for one in found)
    if reactions:
        return f"{sum(one.reactions_on_top for one in found)} of {reactions} reactions on top"
    return ""


def _phones(asked: dict) -> Iterator[str]:
    """The same bouts, with phones that are heard more or less often on days without one."""
    yield f"\n{'app opened on days off':<26}{'missed':>8}{'silent':>8}{'both':>8}"
    for opens in (1, 0.7, 0.4, 0):
        for share in (0.9, 0.8):
            found = measures.courses(lambda rng, n, s=share, o=opens: steady(rng, n, s, o), **asked)
            rates = [measures.a_week(found, *r) for r in (("missed_days",), ("no_contact",))]
            what = f"{opens:.0%}, {share:.0%} of bouts"
            yield f"{what:<26}{rates[0]:>8.3f}{rates[1]:>8.3f}{sum(rates):>8.3f}"
