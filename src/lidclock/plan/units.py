"""Amounts as cooks write them, exactly: no figure is rounded before it is shown."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from lidclock.domain.masses import GRAMS
from lidclock.domain.sentences import Figure, figure, sentence
from lidclock.errors import InputError

MASS_UNITS: Mapping[str, Fraction] = {
    unit: Fraction(grams) for unit, grams in GRAMS.items()
}
# The SI Brochure (BIPM, 9th edition, table 8): 1 l = 1 dm3, so 1 ml is a thousandth.
VOLUME_UNITS: Mapping[str, Fraction] = {"ml": Fraction(1), "l": Fraction(1000)}
OUNCES_IN_A_POUND = 16
# Places that an answer gives of a number without an end, such as a third.
MOST_PLACES = 12
# Longer figures are a slip, and cost time to no use.
_LONGEST = 40
_NUMBER = re.compile(
    r"(?:(?P<whole>[0-9]+)[ ]+)?(?P<over>[0-9]+)/(?P<under>[0-9]+)"
    r"|(?P<decimal>[0-9]+(?:[.,][0-9]+)?)",
    re.ASCII,
)
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}", re.ASCII)
_TERM = re.compile(r"\s*([0-9][0-9., /]*?)\s*([A-Za-z]+)", re.ASCII)
# What is shown: to a tenth of a gram or ounce, and what is lighter than ten grams or
# one ounce to a hundredth. Our choice; kitchen scales show one or the other.
_TENTH, _HUNDREDTH = Fraction(1, 10), Fraction(1, 100)
_LIGHT_G = 10


@dataclass(frozen=True, slots=True)
class Amount:
    """So many grams and so many millilitres; one of them is usually none."""

    text: str
    mass_g: Fraction = Fraction(0)
    volume_ml: Fraction = Fraction(0)

    def grams(self, density: Fraction | None) -> Fraction:
        """Its mass; InputError for a volume without a density in grams a millilitre."""
        if not self.volume_ml:
            return self.mass_g
        if density is None:
            raise InputError(
                sentence(
                    "{text} is a volume: give density, in grams a millilitre, or weigh "
                    "it",
                    text=repr(self.text),
                )
            )
        return self.mass_g + self.volume_ml * density


@dataclass(frozen=True, slots=True)
class Step:
    """What shown masses are rounded to, such as 1 g or 0.5 oz."""

    size: Fraction
    unit: str

    @property
    def grams(self) -> Fraction:
        """The step in grams."""
        return self.size * MASS_UNITS[self.unit]


def read_number(text: str) -> Fraction | None:
    """`0.75`, `1,5`, `3/4`, `1 1/2` as they are; None for anything else.

    `1,000` is None too: it is a thousand to some and one to others.
    """
    bare = text.strip()
    found = _NUMBER.fullmatch(bare) if len(bare) <= _LONGEST else None
    if found is None or _THOUSANDS.fullmatch(bare):
        return None
    if found["decimal"]:
        return Fraction(found["decimal"].replace(",", "."))
    under = int(found["under"])
    if not under:
        return None
    return int(found["whole"] or 0) + Fraction(int(found["over"]), under)


def read_amount(text: str) -> Amount:
    """`350 g`, `4 lb 5 1/2 oz`, `250 ml`, exact; InputError says how to write it.

    A bare `oz` is the avoirdupois ounce of mass; fluid ounces are refused, since there
    are two of them.
    """
    if re.search(r"\bfl\b", text, re.IGNORECASE):
        raise InputError(
            sentence(
                "{text}: a fluid ounce is another in Britain than in the United "
                "States; write millilitres",
                text=repr(text),
            )
        )
    mass, volume, at = Fraction(0), Fraction(0), 0
    bare = text.strip()
    if not bare or len(bare) > _LONGEST:
        raise InputError(_no_amount(text))
    while at < len(bare):
        term = _TERM.match(bare, at)
        number = read_number(term[1]) if term else None
        unit = term[2].lower() if term else ""
        if term is None or number is None:
            raise InputError(_no_amount(text))
        if unit in MASS_UNITS:
            mass += number * MASS_UNITS[unit]
        elif unit in VOLUME_UNITS:
            volume += number * VOLUME_UNITS[unit]
        else:
            known = ", ".join([*MASS_UNITS, *VOLUME_UNITS])
            raise InputError(
                sentence(
                    "{text}: {unit} is not one of {units}",
                    text=_short(text),
                    unit=repr(unit),
                    units=known,
                )
            )
        at = term.end()
    return Amount(bare, mass, volume)


def _no_amount(text: str) -> str:
    return sentence(
        "{text} is not an amount; write it like 350 g, 1.2 kg, 1 1/2 lb, 4 lb 5 oz or "
        "250 ml",
        text=_short(text),
    )


def read_step(text: str) -> Step:
    """`1 g`, `0.5 oz`; InputError for what is no mass above nothing."""
    found = _TERM.fullmatch(text.strip())
    size = read_number(found[1]) if found else None
    unit = found[2].lower() if found else ""
    if not size or unit not in MASS_UNITS:
        raise InputError(
            f"{_short(text)} is nothing to round to; write it like 1 g, 5 g or 0.5 oz"
        )
    return Step(size, unit)


def nearest(value: Fraction, step: Fraction) -> Fraction:
    """The multiple of `step` nearest to `value`, halves up."""
    return (value / step + Fraction(1, 2)).__floor__() * step


def decimal_text(value: Fraction, places: int = MOST_PLACES) -> str:
    """The number as decimals: exact where it ends within so many, else rounded."""
    scaled = round(value * 10**places)
    digits = f"{abs(scaled):0{places + 1}d}"
    text = f"{digits[:-places]}.{digits[-places:]}".rstrip("0").rstrip(".")
    return f"-{text}" if scaled < 0 else text


def rounded_g(grams: Fraction, units: str, step: Step | None) -> Fraction:
    """The mass, in grams, that `say_mass` shows."""
    if step is not None:
        return nearest(grams, step.grams)
    if units == "us":
        ounce = MASS_UNITS["oz"]
        return nearest(grams, (_TENTH if grams >= ounce else _HUNDREDTH) * ounce)
    return nearest(grams, _TENTH if grams >= _LIGHT_G else _HUNDREDTH)


def say_mass(grams: Fraction, units: str = "metric", step: Step | None = None) -> str:
    """`1089.7 g`, `5.45 g`; in US units or ounce steps `4 lb 5.5 oz`, `0.35 oz`."""
    shown = rounded_g(grams, units, step)
    if step.unit in {"oz", "lb"} if step else units == "us":
        return _say_pounds(shown / MASS_UNITS["oz"])
    return sentence("{grams} g", grams=Figure(decimal_text(shown, 3)))


def _say_pounds(ounces: Fraction) -> str:
    pounds, rest = divmod(ounces, OUNCES_IN_A_POUND)
    rest_oz = Figure(decimal_text(rest, 3))
    if not pounds:
        return sentence("{ounces} oz", ounces=rest_oz)
    if not rest:
        return sentence("{pounds} lb", pounds=figure(pounds))
    return sentence("{pounds} lb {ounces} oz", pounds=figure(pounds), ounces=rest_oz)


def _short(text: str) -> str:
    said = repr(text)
    return said if len(said) <= _LONGEST else f"{said[: _LONGEST - 4]}..."
