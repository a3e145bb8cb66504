"""When time alone may change a patient's flags."""

from datetime import UTC, datetime, time, timedelta

from homeprogram.calc.days import ONE_DAY, closes_at, local_day
from homeprogram.calc.flag_days import silent_since
from homeprogram.calc.flag_facts import Facts
from homeprogram.calc.limits import FlagRules


def next_turn(facts: Facts, rules: FlagRules) -> datetime:
    """The first of: the patient's next midnight, when windows of days move on; the next noon,
    when a day closes; the hour at which a silence has lasted too long.

    What somebody logs or decides is looked at when it comes.
    """
    today = local_day(facts.now, facts.zone)
    midnight = datetime.combine(today + ONE_DAY, time(), tzinfo=facts.zone).astimezone(UTC)
    turns = [midnight, closes_at(today - ONE_DAY, facts.zone), closes_at(today, facts.zone)]
    since = silent_since(facts)
    if since is not None:
        turns.append(since + timedelta(hours=rules.no_contact_h))
    return min(turn for turn in turns if turn > facts.now)
