"""Seeds worth keeping. A change of what a seed draws makes them ordinary worlds again."""

# Worlds that broke a promise once, by a fault of ours that was then mended.
ONCE_BROKEN: list[int] = []

# Worlds that show a broken design (mutants_all.py), first found first.
FOUND: dict[str, list[int]] = {}
