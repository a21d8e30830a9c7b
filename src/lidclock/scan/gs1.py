"""What a supplier's symbol says of a pack: product, lot, use-by, best-before."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date, timedelta

from lidclock.errors import InputError
from lidclock.scan.gs1_elements import (
    AGAIN,
    GTIN_DIGITS,
    Element,
    elements,
    has_right_check,
    wrong_check,
)
from lidclock.scan.wedge import Line

_GTINS = ("01", "02", "03")
_LOT, _BEST_BEFORE, _USE_BY, _EXPIRY = "10", "15", "17", "7003"
# GS1 Syntax Dictionary (gs1-syntax-dictionary.txt, July 2026): these identifiers are
# invalid without a GTIN beside them.
_NEED_GTIN = frozenset({_LOT, "11", "13", _BEST_BEFORE, "16", _USE_BY, "21", _EXPIRY})
# The same: linter yymmd0 lets the day be 00, linter yymmdd does not.
_DATES = frozenset({"11", "12", "13", _BEST_BEFORE, "16", _USE_BY})
_STRICT_DATES = frozenset({"4326", _EXPIRY, "7006", "7007", "7011", "8008"})
# The same, lint_yymmd0.c: the century is the one that puts the year nearest.
_PAST_SPAN, _COMING_SPAN = 51, -50


@dataclass(frozen=True, slots=True)
class Pack:
    """What a supplier's symbol says; `best_before` is quality and never a use-by.

    `is_local` marks a number of one shop or region, which names no product elsewhere.
    """

    gtin: str
    lot: str = ""
    use_by: date | None = None
    best_before: date | None = None
    is_local: bool = False
    elements: tuple[Element, ...] = ()

    @property
    def bracketed(self) -> str:
        """The element strings as people read them: `(01)...(17)...`."""
        return "".join(f"({ai}){value}" for ai, value in self.elements)


def read_pack(line: Line, year: int) -> Pack | None:
    """The pack that `line` names; None if it is no supplier's symbol at all.

    Raises InputError where it is one and must not be taken: a wrong check digit, a day
    that does not exist, a date or lot without a GTIN, two that contradict each other.
    `year` is the present one, which decides the century.
    """
    found = elements(line)
    if found is None:
        return None
    facts = _unequivocal(found)
    days = {ai: _checked_day(ai, value, year) for ai, value in facts.items()}
    gtin = _one_gtin(facts)
    expiries = [day for day in (days.get(_USE_BY), days.get(_EXPIRY)) if day]
    return Pack(
        gtin,
        lot=facts.get(_LOT, ""),
        use_by=min(expiries, default=None),
        best_before=days.get(_BEST_BEFORE),
        is_local=_is_local(gtin),
        elements=tuple(found),
    )


def full_year(two_digits: int, year: int) -> int:
    """The year meant by its last two digits, seen from `year`: GS1 lint_yymmd0.c."""
    century, here = year - year % 100, year % 100
    distance = two_digits - here
    if distance >= _PAST_SPAN:
        century -= 100
    elif distance <= _COMING_SPAN:
        century += 100
    return century + two_digits


def read_day(yymmdd: str, year: int) -> date:
    """The day in a GS1 date; day 00 is the last of its month. InputError if none."""
    months_year = full_year(int(yymmdd[:2]), year)
    month, day = int(yymmdd[2:4]), int(yymmdd[4:])
    try:
        last = calendar.monthrange(months_year, month)[1]
        return date(months_year, month, day or last)
    except (calendar.IllegalMonthError, ValueError) as error:
        raise InputError(f"{yymmdd} on the pack is no date; {AGAIN}") from error


def _unequivocal(found: list[Element]) -> dict[str, str]:
    """Values by identifier; InputError if one comes twice with different values."""
    facts: dict[str, str] = {}
    for ai, value in found:
        if facts.setdefault(ai, value) != value:
            raise InputError(
                f"the symbol says ({ai}) twice, {facts[ai]} and {value}; read the pack "
                "and type which holds"
            )
    return facts


def _one_gtin(facts: dict[str, str]) -> str:
    """The GTIN, its check digit right; InputError if there is none, or two."""
    gtins = {facts[ai] for ai in _GTINS if ai in facts}
    orphans = [ai for ai in facts if ai in _NEED_GTIN]
    if not gtins and orphans:
        raise InputError(
            f"the symbol has ({orphans[0]}) without a GTIN, so nothing tells what it "
            "belongs to; scan the symbol with the product's number, or give --use-by "
            "and --lot yourself"
        )
    if not gtins:
        raise InputError("the symbol names no product (it holds no GTIN); " + AGAIN)
    if len(gtins) > 1:
        raise InputError(f"the symbol names two products, {' and '.join(gtins)}")
    gtin = gtins.pop()
    is_empty = not gtin.strip("0")
    if is_empty or len(gtin) != GTIN_DIGITS or not has_right_check(gtin):
        raise wrong_check(gtin)
    return gtin


def _checked_day(ai: str, value: str, year: int) -> date | None:
    """The day that a date element names; None for elements of other kinds.

    An expiry with an hour ends the day before: a maker's date is a whole day here, and
    must not come later than the hour.
    """
    if ai not in _DATES | _STRICT_DATES:
        return None
    if ai in _STRICT_DATES and value[4:6] == "00":
        raise InputError(f"({ai}){value} has no day, and needs one; {AGAIN}")
    day = read_day(value[:6], year)
    return day - timedelta(days=1) if ai == _EXPIRY else day


def _is_local(gtin: str) -> bool:
    """Numbers that a shop or a region gives out itself mean nothing elsewhere.

    GS1 General Specifications, section 2.1.13: prefix 04; 02 and 20 to 29, and of
    eight digits 0 and 2, are from memory, unverified.
    """
    if not gtin.startswith("0"):
        return False
    if gtin.startswith("000000"):
        return gtin[6] in "02"
    return gtin[1:3] in ("02", "04") or gtin[1] == "2"
