"""The net quantity: what was recorded or said, never more than there is."""

from __future__ import annotations

from decimal import ROUND_FLOOR, Decimal, localcontext

from lidclock.domain.masses import HEAVIEST_CONTAINER_G, exact_grams
from lidclock.errors import InputError, RefusedError

# International avoirdupois ounce: 28.349523125 g, 16 of them to the pound.
_OUNCE_G = Decimal("28.349523125")
_OUNCES = 16
# Recorded masses are rounded to a tenth of a gram.
_HALF_A_TENTH_G = Decimal("0.05")
_WHOLE_FROM_G = 10
_KILO_G = 1000


def net_grams(recorded_g: float | None, said: str, code: str) -> Decimal:
    """The grams to declare: those said, else those recorded of the container."""
    if said:
        grams = exact_grams(said)
        if grams is None or grams > HEAVIEST_CONTAINER_G:
            raise InputError(f"{said!r} cannot be a net quantity; write it like 350g")
        return grams
    if not recorded_g:
        raise RefusedError(
            f"nobody recorded how much {code} holds: give --net MASS, for example 350g"
        )
    return Decimal(str(recorded_g))


def say_net(grams: Decimal, units: str, word: str = "") -> str:
    """`350 g`, `1.25 kg`; with US units before them: `Net Wt 12.3 oz (350 g)`.

    Rounded down, kilograms to three figures: a label must not promise more than is in.
    """
    said = _metric(grams)
    if units == "both":
        said = f"{_customary(grams)} ({said})"
    return f"{word} {said}".strip()


def _metric(grams: Decimal) -> str:
    if grams >= _KILO_G:
        return f"{_figures(grams / _KILO_G)} kg"
    step = Decimal(1) if grams >= _WHOLE_FROM_G else Decimal("0.1")
    return f"{_plain(grams.quantize(step, ROUND_FLOOR))} g"


def _customary(grams: Decimal) -> str:
    tenths = (grams + _HALF_A_TENTH_G) / _OUNCE_G * 10
    pounds, rest = divmod(int(tenths), _OUNCES * 10)
    ounces = f"{_plain(Decimal(rest) / 10)} oz"
    if not pounds:
        return ounces
    return f"{pounds} lb {ounces}" if rest else f"{pounds} lb"


def _figures(number: Decimal) -> str:
    with localcontext(prec=3, rounding=ROUND_FLOOR):
        return _plain(+number)


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
