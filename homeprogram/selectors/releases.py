"""Release codes: for phones that may not have heard of a lift."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta

from homeprogram.calc.release import grouped, release_code
from homeprogram.models import Hold, Lift, Phone, PhoneState
from homeprogram.selectors.plans import Context

SHOWN = timedelta(days=14)  # a phone silent for longer is somebody to see, not to call


@dataclass(frozen=True, slots=True)
class Release:
    """One lift's code for one phone."""

    phone: Phone
    lift: Lift
    code: str
    holds: int


def releases(context: Context) -> list[Release]:
    """Newest lift first; no question is asked where every phone was heard since."""
    waiting = {
        hold.lift_id: hold.lift
        for hold in context.holds
        if hold.lift and context.now - hold.lift.lifted_at < SHOWN
    }
    phones = [one for one in context.phones if one.state == PhoneState.ACTIVE and one.release_key]
    pairs = [(lift, one) for lift in waiting.values() for one in phones if _unheard(one, lift)]
    if not pairs:
        return []
    covered: dict = defaultdict(list)
    for hold in Hold.objects.filter(lift__in=waiting).select_related("entry"):
        covered[hold.lift_id].append(hold)
    found = [one for lift, phone in pairs for one in _release(phone, lift, covered[lift.id])]
    return sorted(found, key=lambda one: one.lift.lifted_at, reverse=True)


def _unheard(phone: Phone, lift: Lift) -> bool:
    return phone.last_contact_at is None or phone.last_contact_at <= lift.lifted_at


def _release(phone: Phone, lift: Lift, holds: list[Hold]) -> Iterator[Release]:
    """Of a hold that only another phone knows, this one cannot check a code, nor waits for it."""
    known = [hold for hold in holds if _knows(phone, hold)]
    if known:
        code = release_code(phone.release_key, [str(hold.entry.entry_id) for hold in known])
        yield Release(phone, lift, grouped(code), len(known))


def _knows(phone: Phone, hold: Hold) -> bool:
    heard = phone.last_contact_at
    return hold.entry.phone_id == phone.id or (heard is not None and hold.placed_at < heard)
