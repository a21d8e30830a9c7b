"""What takes long and much memory is waited for by a few, and refused to others.

Each who waits holds a thread that pages need.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from threading import Semaphore

from lidclock.errors import LidclockError


@contextmanager
def place_in(room: Semaphore, refusal: LidclockError) -> Iterator[None]:
    """One of the places in a room; raises `refusal` where all are taken."""
    if not room.acquire(blocking=False):
        raise refusal
    try:
        yield
    finally:
        room.release()
