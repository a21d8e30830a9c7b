"""Wrong passwords and codes: five in a row, then a wait that doubles, kept on disk.

With waits of up to eight hours it takes a month to reach the 100 wrong ones in a row
that NIST SP 800-63B, 5.2.2 allows at most, and four digits last for years.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from math import ceil

from lidclock.app.session import Session
from lidclock.domain.moments import say_span
from lidclock.domain.phrases import with_semicolons
from lidclock.domain.sentences import sentence, sentences
from lidclock.errors import TooOftenError, WrongSecretError
from lidclock.store.people import Attempts, Tries

FREE_TRIES = 5
FIRST_WAIT, LONGEST_WAIT = timedelta(minutes=1), timedelta(hours=8)
# After a quiet day it starts anew, so that nobody stays locked out by an old mishap.
QUIET = timedelta(hours=24)


def tried(
    session: Session, subject: str, is_right: Callable[[], bool], wrong: str
) -> None:
    """One try at `subject`: nothing if it is right, else WrongSecretError says `wrong`.

    TooOftenError while a wait lasts, however right it is. It counts as wrong before it
    is looked at, so that many tries at once are not one.
    """
    left = _charge(session, subject)
    if not is_right():
        raise WrongSecretError(with_semicolons([wrong, _says(left)]))
    with session.write() as unit:
        Attempts(unit.connection, session.kitchen.id).forgive(subject)


def _charge(session: Session, subject: str) -> int:
    """Count one wrong try; how many are left before a wait."""
    now = session.now
    with session.write() as unit:
        attempts = Attempts(unit.connection, session.kitchen.id)
        attempts.forget_before(now - QUIET)
        known = attempts.get(subject)
        if known and now < known.free_at:
            raise _too_often(known.free_at - now)
        wrong = (known.wrong if known else 0) + 1
        attempts.put(subject, Tries(wrong, now, now + wait_after(wrong)))
    return FREE_TRIES - wrong


def wait_after(wrong: int) -> timedelta:
    """How long nobody may try after so many wrong ones in a row."""
    if wrong < FREE_TRIES:
        return timedelta(0)
    # The exponent is bounded, lest a great count overflow.
    doublings: int = min(wrong - FREE_TRIES, 20)
    return min(FIRST_WAIT * (1 << doublings), LONGEST_WAIT)


def _says(left: int) -> str:
    if left <= 0:
        return sentence("wait before the next try")
    return sentences(
        "{count} more try before a wait", "{count} more tries before a wait", left
    )


def _too_often(wait: timedelta) -> TooOftenError:
    return TooOftenError(
        sentence("too many wrong ones: wait {span}", span=say_span(wait)),
        ceil(wait.total_seconds()),
    )
