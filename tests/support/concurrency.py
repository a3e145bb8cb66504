"""Rows that other connections can see, and threads that all start at once."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from threading import Barrier

from django.db import connection


@contextmanager
def committed(blocker) -> Iterator[None]:
    """PostgreSQL only. What the block committed is emptied afterwards."""
    with blocker.unblock():
        try:
            yield
        finally:
            with connection.cursor() as cursor:
                # The append-only rows go too: TRUNCATE fires no row trigger.
                cursor.execute(
                    "TRUNCATE homeprogram_clinic, homeprogram_user, homeprogram_pairingtry CASCADE"
                )


def at_once(times: int, action: Callable[[int], object]) -> list[object]:
    """What `action(n)` returned or raised, in `times` threads with a connection each."""
    start = Barrier(times)

    def run(n: int) -> object:
        start.wait()
        try:
            return action(n)
        except Exception as error:  # noqa: BLE001  handed to the test as a result
            return error
        finally:
            connection.close()

    with ThreadPoolExecutor(times) as pool:
        return list(pool.map(run, range(times)))
