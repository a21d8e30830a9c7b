"""The calendar for programs that ask for it over and over, behind a secret.

A calendar program can send no password, so the secret stands in the address. It opens
nothing but the calendar, and is kept as a hash only: whoever reads the database cannot
use it. The token is random and long, so that one round of SHA-256 is enough.
"""

from __future__ import annotations

import hashlib
import hmac
from datetime import datetime

from lidclock.app.calendar import calendar_of
from lidclock.app.now import fresh_token
from lidclock.app.session import Session
from lidclock.errors import UnknownThingError
from lidclock.store.feeds import Feeds

# Where programs find it, with the secret after it.
FEED_PATH = "/calendar.ics?token="
_LONGEST = 100


def make_feed(session: Session) -> str:
    """A fresh secret for the kitchen's calendar, told this once; the old one ends."""
    token = fresh_token()
    with session.write() as unit:
        Feeds(unit.connection, session.kitchen.id).put(_hashed(token), session.now)
    return token


def revoke_feed(session: Session) -> bool:
    """End the calendar's secret; False if there was none."""
    with session.write() as unit:
        return Feeds(unit.connection, session.kitchen.id).drop()


def feed_since(session: Session) -> datetime | None:
    """When the calendar's secret was made; None where there is none."""
    with session.read() as unit:
        known = Feeds(unit.connection, session.kitchen.id).get()
    return None if known is None else known[1]


def feed_of(session: Session, token: str) -> bytes:
    """The calendar, for whoever knows the secret; UnknownThingError for anybody else.

    A wrong secret and none at all are told the same, in the same time.
    """
    with session.read() as unit:
        known = Feeds(unit.connection, session.kitchen.id).get()
    kept = known[0] if known is not None else _hashed("")
    is_right = hmac.compare_digest(kept, _hashed(token[:_LONGEST]))
    if known is None or not is_right:
        raise UnknownThingError(
            "there is no calendar at that address: ask for a new one in this kitchen"
        )
    return calendar_of(session)


def _hashed(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
