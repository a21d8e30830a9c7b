"""The people of a kitchen, the devices they hold, and what each may do."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from datetime import datetime

from lidclock.domain.sentences import figure, sentence
from lidclock.errors import InputError

OWNER, HELPER, KIOSK = "owner", "helper", "kiosk"
ROLES = (OWNER, HELPER)
DEVICE_ROLES = (HELPER, KIOSK)
LONGEST_NAME = 24
CODE_DIGITS = 4
_CODE = re.compile(r"[0-9]{4}")
_DIGITS_IN_TURN = "01234567890"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody of the kitchen: events bear the handle, so it may go and facts stay."""

    id: str
    handle: str
    role: str
    has_code: bool = False


@dataclass(frozen=True, slots=True)
class Device:
    """A phone, tablet or program that was paired.

    `person_id` is whose it is, empty where everybody shares it. `role` is what it may
    while nobody named is at it: a helper's things, or on a wall only to be looked at.
    """

    id: str
    name: str
    role: str
    paired_at: datetime
    seen_at: datetime
    person_id: str = ""


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who sends a request: a handle, if one is known, a role, and at which device.

    `visit` names the visit without being its token; it is empty where nobody had to
    be let in, and for programs that bear a token.
    """

    handle: str
    role: str
    device: str = "page"
    visit: str = ""
    device_id: str = ""
    # A code cannot be asked of a program: it acts for the one it was paired for.
    is_program: bool = False

    @property
    def is_owner(self) -> bool:
        """Whether places, people, printers, hours and devices are theirs to change."""
        return self.role == OWNER


def checked_name(text: str, what: str) -> str:
    """A handle or a device's name on one line, of letters that can be seen."""
    tidy = " ".join(unicodedata.normalize("NFC", text).split())
    if not tidy or not tidy.isprintable() or len(tidy) > LONGEST_NAME:
        raise InputError(
            sentence(
                "{name} cannot be {what}: write 1 to {most} characters that can be "
                "seen",
                name=repr(tidy[: 2 * LONGEST_NAME]),
                what=what,
                most=figure(LONGEST_NAME),
            )
        )
    return tidy


def checked_role(role: str) -> str:
    """One of the roles a person may have."""
    if role not in ROLES:
        raise InputError(f"a person is an {OWNER} or a {HELPER}, not {role[:20]!r}")
    return role


def checked_code(text: str) -> str:
    """A switch code: four digits that are not the first ones anybody would try.

    Common practice, no source: neither one digit four times, nor four in a row.
    """
    code = text.strip()
    if not _CODE.fullmatch(code):
        raise InputError(
            sentence("a switch code is {count} digits", count=figure(CODE_DIGITS))
        )
    in_turn = code in _DIGITS_IN_TURN or code in _DIGITS_IN_TURN[::-1]
    if in_turn or len(set(code)) == 1:
        raise InputError(
            sentence("that code is among the first that anybody tries: choose another")
        )
    return code
