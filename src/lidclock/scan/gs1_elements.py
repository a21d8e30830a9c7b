"""GS1 element strings out of a scanned line, a Digital Link or a bare number."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING
from urllib.parse import parse_qsl, urlsplit

from lidclock.errors import InputError
from lidclock.scan.wedge import (
    BRACKETED,
    GS,
    LINK,
    MESSAGE,
    MESSAGE_AIMS,
    RETAIL_AIMS,
    Line,
)

if TYPE_CHECKING:
    from biip import ParseConfig
    from biip.gs1_element_strings import GS1ElementString
    from biip.gs1_messages import GS1Message

Element = tuple[str, str]

GTIN, USE_BY = "01", "17"
GTIN_DIGITS = 14
AGAIN = "scan it again, or type what the pack says"
_SHORTEST = 8
_RETAIL = re.compile(r"[0-9]{8}|[0-9]{12,14}")
# These have a fixed length that every reader knows, so no separator follows them: GS1
# Syntax Dictionary, flag *.
_PREDEFINED = re.compile(r"0[0-4]|1[1-9]|20|3[1-6]|41")
# Others of fixed length, after which a separator may be missing at the very end.
_OF_DATES = frozenset({"4326", "7003", "7006", "7007", "7011", "8008"})
_SWALLOWED = re.compile(r".+(?:15|17)([0-9]{6})")


def elements(line: Line) -> list[Element] | None:
    """The element strings in `line` as (application identifier, value); None if none.

    A bare EAN or UPC counts as its GTIN. InputError if they do not parse.
    """
    text = line.text
    if LINK.match(text):
        return _linked(text)
    if BRACKETED.match(text):
        return _bracketed(text)
    if line.aim in MESSAGE_AIMS:
        return _message(text)
    if line.aim in RETAIL_AIMS:
        return [(GTIN, text.zfill(GTIN_DIGITS))]
    if _RETAIL.fullmatch(text):
        return _bare_number(text)
    if not line.aim and MESSAGE.match(text):
        return _message(text)
    return None


def has_right_check(digits: str) -> bool:
    """Whether the last of `digits` is their check digit.

    Weights 3, 1, 3, 1 ... from the right, the check left out: GS1 lint_csum.c.
    """
    if not (digits.isascii() and digits.isdigit()):
        return False
    from biip.checksums import gs1_standard_check_digit

    return gs1_standard_check_digit(digits[:-1]) == int(digits[-1])


def _bare_number(text: str) -> list[Element] | None:
    """Eight digits may be anything; a longer number with a wrong check is misread."""
    if has_right_check(text):
        return [(GTIN, text.zfill(GTIN_DIGITS))]
    if len(text) == _SHORTEST:
        return None
    raise wrong_check(text)


def _message(text: str) -> list[Element]:
    """Element strings as scanned, one behind the other."""
    found = _parsed(text, lambda kind: kind.parse(text, config=_config()))
    if _lacks_separator(text, found):
        raise InputError(
            f"where {_shown(text)} is to be parted is not certain: the scanner "
            "left out a separator; set it to send ASCII 29, or type the symbol with "
            "brackets, (01)...(17)...(10)..."
        )
    return found


def _lacks_separator(text: str, found: list[Element]) -> bool:
    """Whether an element without a fixed length may have swallowed the next one."""
    place = 0
    for ai, value in found:
        place += len(ai) + len(value)
        at_end, parted = place == len(text), text[place : place + 1] == GS
        if not (at_end or parted or _PREDEFINED.match(ai)):
            return True
        place = len(text) - len(text[place:].lstrip(GS))
    ai, value = found[-1]
    is_open = GS not in text and not _PREDEFINED.match(ai) and ai not in _OF_DATES
    has_use_by = any(ai == USE_BY for ai, _ in found)
    return is_open and not has_use_by and _SWALLOWED.fullmatch(value) is not None


def _bracketed(text: str) -> list[Element]:
    """`(01)...(17)...`; a bracket within a value could be read in two ways."""
    if not BRACKETED.fullmatch(text):
        raise _not_whole(text)
    return _parsed(text, lambda kind: kind.parse_hri(text, config=_config()))


def _parsed(
    text: str, parse: Callable[[type[GS1Message]], GS1Message]
) -> list[Element]:
    """What biip makes of `text`, its errors in our words."""
    from biip import ParseError
    from biip.gs1_messages import GS1Message

    try:
        message = parse(GS1Message)
    except (ParseError, ArithmeticError, AssertionError, ValueError) as error:
        raise _not_whole(text) from error
    return _plain(text, message.element_strings)


def _linked(text: str) -> list[Element]:
    """A GS1 Digital Link: 14 digits of GTIN, nothing empty, nothing said twice."""
    from biip import ParseError
    from biip.gs1_digital_link_uris import GS1DigitalLinkURI

    found = LINK.match(text)
    gtin = found["gtin"] if found else ""
    try:
        query = parse_qsl(urlsplit(text).query, keep_blank_values=True)
        keys = [key for key, _ in query if key.isdigit()]
        is_sound = (
            len(gtin) == GTIN_DIGITS
            and all(value for _, value in query)
            and len(set(keys)) == len(keys)
        )
        if not is_sound:
            raise _not_whole(text)
        link = GS1DigitalLinkURI.parse(text, config=_config())
    except (ParseError, ArithmeticError, AssertionError, ValueError) as error:
        raise _not_whole(text) from error
    return _plain(text, link.element_strings)


def _plain(text: str, strings: Iterable[GS1ElementString]) -> list[Element]:
    """Pairs of text; biip takes the digits of any script, GS1 only our ten."""
    found = [(part.ai.ai, part.value) for part in strings]
    if not found or not all(value.isascii() for _, value in found):
        raise _not_whole(text)
    return found


def _config() -> ParseConfig:
    """Dates are checked here, for biip would take the century from the clock."""
    from biip import ParseConfig

    return ParseConfig(gs1_element_strings_verify_date=False)


def wrong_check(digits: str) -> InputError:
    return InputError(f"{digits} is no GTIN: its check digit is wrong; {AGAIN}")


def _not_whole(text: str) -> InputError:
    return InputError(
        f"{_shown(text)} looks like a supplier's symbol but does not read; {AGAIN}"
    )


def _shown(text: str) -> str:
    return repr("".join(x if x.isprintable() else " " for x in text[:60]))
