"""Masses in grams: read as people write them, split without losing a gram."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal, localcontext

from lidclock.domain.sentences import Figure, figure, sentence, sentences
from lidclock.errors import InputError

# Grams in each unit. International avoirdupois pound, exact: 0.45359237 kg (agreement
# of 1 July 1959).
GRAMS = {
    "g": Decimal(1),
    "kg": Decimal(1000),
    "lb": Decimal("453.59237"),
    "oz": Decimal("28.349523125"),
}
_MASS = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*([A-Za-z]+)", re.ASCII)
HEAVIEST_G = 1_000_000
HEAVIEST_CONTAINER_G = 100_000
_TENTH = Decimal("0.1")


def read_mass(text: str) -> float:
    """Grams, to a tenth, of `350g`, `1.2 kg`, `12 oz` or `1,5 kg`."""
    grams = _read(text)
    if grams is None:
        raise InputError(
            sentence(
                "{text} is not a mass; write it like 350g, 1.2kg or 12oz",
                text=repr(text),
            )
        )
    if (
        grams > HEAVIEST_G + 1
    ):  # not rounded: it may have more figures than there is room
        return checked_mass(float(grams))
    return checked_mass(float(grams.quantize(_TENTH, ROUND_HALF_UP)))


def exact_grams(text: str) -> Decimal | None:
    """Grams without any rounding; None for what is no mass, or no possible one."""
    grams = _read(text)
    return grams if grams is not None and 0 < grams <= HEAVIEST_G else None


def _read(text: str) -> Decimal | None:
    match = _MASS.fullmatch(text.strip())
    unit = match.group(2).lower() if match else ""
    if match is None or unit not in GRAMS:
        return None
    # A product of so many digits is exact only where the context has room for them.
    figures, per_unit = Decimal(match.group(1).replace(",", ".")), GRAMS[unit]
    with localcontext(prec=len(text) + len(per_unit.as_tuple().digits)):
        return figures * per_unit


def checked_mass(grams: float, most_g: float = HEAVIEST_G) -> float:
    """`grams` to a tenth if it can be right, else an InputError.

    A batch may weigh up to a tonne; pass `HEAVIEST_CONTAINER_G` for one container.
    """
    if not 0 < grams <= most_g:
        raise InputError(
            sentence(
                "{grams} g cannot be right; it must be above 0 g and at most {most} kg",
                grams=Figure(f"{grams:g}"),
                most=Figure(f"{most_g / 1000:g}"),
            )
        )
    return round(grams, 1)


def say_mass(grams: float, units: str = "metric") -> str:
    """`307 g`, `12.5 g`; in US units `10.8 oz`, `4 lb 1.2 oz`: no trailing zeros."""
    if units != "us":
        return sentence("{grams} g", grams=_tenths(grams))
    tenths = round(grams / float(GRAMS["oz"]) * 10)
    pounds, rest = divmod(tenths, 160)
    ounces = _tenths(rest / 10)
    if not pounds:
        return sentence("{ounces} oz", ounces=ounces)
    if not rest:
        return sentence("{pounds} lb", pounds=figure(pounds))
    return sentence("{pounds} lb {ounces} oz", pounds=figure(pounds), ounces=ounces)


def _tenths(number: float) -> Figure:
    return Figure(f"{number:.1f}".removesuffix(".0"))


def split_mass(total_g: float, count: int) -> list[float]:
    """`count` shares in whole grams that add up to `total_g`, heavier ones first.

    A fraction of a gram in the total stays on the first share.
    """
    if count < 1:
        raise ValueError(f"cannot split into {count}")
    whole = int(total_g)
    share, heavier = divmod(whole, count)
    if share == 0:
        raise InputError(
            sentences(
                "{mass} cannot fill {count} container",
                "{mass} cannot fill {count} containers",
                count,
                mass=say_mass(total_g),
            )
        )
    shares = [float(share + (index < heavier)) for index in range(count)]
    shares[0] = round(shares[0] + (total_g - whole), 1)
    return shares
