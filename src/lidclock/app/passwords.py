"""Hashes of what people type, and of random tokens.

A password is slow to try: scrypt (RFC 7914) with N = 2^17, r = 8, p = 1, the least that
OWASP's Password Storage Cheat Sheet (May 2023) advises for it; 128 MiB each. A switch
code of four digits has only ten thousand values, so no hash protects it from whoever
holds the database; it gets N = 2^14, r = 8, p = 1 (C. Percival 2009: interactive use),
so that a tablet switches at once, and its tries are counted (app/attempts.py). A token
is random, 256 bits, and a plain SHA-256 of it tells nothing.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import threading
import unicodedata
from contextlib import AbstractContextManager
from dataclasses import dataclass

from lidclock.app.now import random_bytes
from lidclock.app.turns import place_in
from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError, TooOftenError

# NIST SP 800-63B, 5.1.1.2 asks for at least 8, allows 64 and more, and wants no rules
# of composition; two more are ours.
SHORTEST, LONGEST = 10, 256
_SCHEME = "scrypt"
_SALT_BYTES, _KEY_BYTES = 16, 32
# Scrypt fills 128 * N * r octets, and a little more.
_BLOCK, _SLACK = 128, 1 << 20


@dataclass(frozen=True, slots=True)
class Cost:
    """What one try costs: N as a power of two, r, p."""

    log_n: int
    r: int = 8
    p: int = 1


FOR_PASSWORD, FOR_CODE = Cost(17), Cost(14)
# One at a time: many at once would fill the memory of a small machine.
_ONE_AT_A_TIME = threading.Lock()
MOST_WAITING, _WAIT_S = 8, 5
_ROOM = threading.BoundedSemaphore(MOST_WAITING)


def checked_password(text: str) -> str:
    """A password long enough to be one; InputError says how long."""
    if not SHORTEST <= len(text) <= LONGEST:
        raise InputError(
            sentence(
                "a password has {low} to {high} characters; several words are good",
                low=figure(SHORTEST),
                high=figure(LONGEST),
            )
        )
    return text


def hashed(secret: str, cost: Cost = FOR_PASSWORD) -> str:
    """`scrypt$17$8$1$SALT$KEY`: what it takes to tell a right one later."""
    salt = random_bytes(_SALT_BYTES)
    key = _derived(secret, salt, cost)
    parts = (_SCHEME, str(cost.log_n), str(cost.r), str(cost.p))
    return "$".join([*parts, _letters(salt), _letters(key)])


def is_right(secret: str, kept: str) -> bool:
    """Whether `kept` was made of this secret; False where nothing is kept."""
    parts = kept.split("$")
    if len(secret) > LONGEST or len(parts) != 6 or parts[0] != _SCHEME:
        return False
    cost = Cost(*map(int, parts[1:4]))
    key = _derived(secret, base64.b64decode(parts[4]), cost)
    return hmac.compare_digest(key, base64.b64decode(parts[5]))


def waiting() -> AbstractContextManager[None]:
    """One of the few who wait for a hash; TooOftenError where there are enough.

    Else whoever tries from a hundred addresses at once would hold up every page.
    """
    says = "too many are being let in at once: wait a moment and try again"
    return place_in(_ROOM, TooOftenError(says, _WAIT_S))


def token_hash(token: str) -> str:
    """SHA-256 of a random token: enough, since nobody can try 2^256 of them."""
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()


def _derived(secret: str, salt: bytes, cost: Cost) -> bytes:
    # One keyboard's letters with accents are another's: NIST SP 800-63B, 5.1.1.2.
    plain = unicodedata.normalize("NFKC", secret).encode("utf-8", "surrogatepass")
    n = 1 << cost.log_n
    with _ONE_AT_A_TIME:
        return hashlib.scrypt(
            plain,
            salt=salt,
            n=n,
            r=cost.r,
            p=cost.p,
            maxmem=_BLOCK * n * cost.r + _SLACK,
            dklen=_KEY_BYTES,
        )


def _letters(octets: bytes) -> str:
    return base64.b64encode(octets).decode("ascii")
