"""Bodies of entries as earlier releases wrote them, brought to today's form.

A phone may have been offline for a year: what any release ever wrote must still
be read. One pure step per schema, kept for ever, and a golden file of real bodies
beside it (fixtures/golden). The text as received is never rewritten; only what is
read from it.
"""

from collections.abc import Callable, Mapping

SCHEMA = 1  # what the phones of this release write
Step = Callable[[dict], dict]
# STEPS[n] takes a body of schema n and gives one of schema n + 1.
STEPS: Mapping[int, Step] = {}


def upcast(
    body: dict, schema: int, *, steps: Mapping[int, Step] = STEPS, current: int = SCHEMA
) -> dict:
    """`body` in the current form; raises KeyError for a schema there is no way from."""
    while schema != current:
        body = steps[schema](body)
        schema += 1
    return body
