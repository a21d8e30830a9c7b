"""The system clock and the system's randomness; nothing else may ask for either."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime


def now() -> datetime:
    """The present instant, in UTC."""
    return datetime.now(UTC)


def below(limit: int) -> int:
    """A random whole number from 0 up to, not including, `limit`."""
    return secrets.randbelow(limit)


def fresh_token() -> str:
    """A secret nobody guesses: 256 random bits, in letters that any header takes."""
    return secrets.token_urlsafe(32)


def random_bytes(count: int) -> bytes:
    """Random octets: a salt, a secret that is written in letters of its own."""
    return secrets.token_bytes(count)


def new_ids(count: int) -> list[str]:
    """Fresh UUIDv7 ids in the order in which they are given out.

    They carry the true time even where a command pretends another one, so that facts
    of the same minute stay in the order in which they were recorded.
    """
    import uuid_utils

    return sorted(str(uuid_utils.uuid7()) for _ in range(count))
