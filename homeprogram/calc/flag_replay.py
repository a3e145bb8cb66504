"""How many cards a set of rules would have opened, had it held all along. Pure."""

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import datetime

from homeprogram.calc.flag_facts import Card
from homeprogram.calc.flag_thresholds import LOOKS_AT
from homeprogram.calc.flags import UNTIL_CLOSED

# Its history is not kept: of a phone the newest contact and claim, not those before.
NOT_REPLAYED = frozenset({"no_contact"})
REPLAYED = tuple(reason for reason in LOOKS_AT if reason not in NOT_REPLAYED)


def openings(looks: Iterable[Sequence[Card]]) -> Counter[str]:
    """By reason, over one look after another; what stood at the first look is not counted.

    A card that waits for a person counts again on a newer fact, as if each had been
    closed at once; any other when it stands after a look at which it did not.
    """
    found: Counter[str] = Counter()
    newest: dict[tuple, datetime] = {}
    stood: set[tuple] | None = None
    for cards in looks:
        stands = {card.key: card for card in cards if card.reason in REPLAYED}
        if stood is not None:
            found.update(card.reason for card in stands.values() if _opens(card, stood, newest))
        newest |= {key: card.fact_at for key, card in stands.items()}
        stood = set(stands)
    return found


def _opens(card: Card, stood: set[tuple], newest: dict[tuple, datetime]) -> bool:
    if card.reason in UNTIL_CLOSED:
        return card.key not in newest or card.fact_at > newest[card.key]
    return card.key not in stood
