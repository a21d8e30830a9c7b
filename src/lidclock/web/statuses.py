"""Which status of HTTP says what an error says."""

from __future__ import annotations

from lidclock.errors import (
    EventConflictError,
    LidclockError,
    NotAllowedError,
    OddFactError,
    RefusedError,
    StoreError,
    TooOftenError,
    UnknownThingError,
    WrongSecretError,
)

# The first that fits: who is not allowed is refused too, an event conflict is a store
# error too.
_STATUSES: tuple[tuple[type[LidclockError], int], ...] = (
    (NotAllowedError, 403),
    (WrongSecretError, 403),
    (TooOftenError, 429),
    (UnknownThingError, 404),
    (EventConflictError, 409),
    (OddFactError, 409),
    (RefusedError, 409),
    (StoreError, 503),
)


def status_of(error: LidclockError) -> int:
    """403 for who may not, 404 for what is not here, 409 where things are otherwise.

    422 for what is wrong, 429 for too many tries, 503 where the database cannot be used
    right now.
    """
    for kind, status in _STATUSES:
        if isinstance(error, kind):
            return status
    return 422
