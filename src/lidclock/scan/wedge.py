"""What a scanner that types adds to a symbol's text, taken off again."""

from __future__ import annotations

import re
from dataclasses import dataclass

# FNC1 between two element strings is sent as ASCII 29: GS1 General Specifications.
GS = "\x1d"
# Ways in which that key press (Ctrl and ]) shows where a terminal spells it out.
_SPELT_GS = ("^]", "\N{SYMBOL FOR GROUP SEPARATOR}")
CONTROLS = "".join(map(chr, [*range(0x20), *range(0x7F, 0xA0)]))
_ENDS = CONTROLS + " \N{NO-BREAK SPACE}\N{ZERO WIDTH NO-BREAK SPACE}"
# An AIM symbology identifier (ISO/IEC 15424): Code 128, EAN/UPC, ITF, DotCode, PDF417,
# QR, Data Matrix, DataBar, Aztec.
_AIM = re.compile(r"\]([A-Za-z])([0-9])")
_KINDS = frozenset("CEIJLQdez")
_RETAIL_DIGITS = (8, 12, 13)
# Symbols that hold a supplier's GS1 element strings, or a bare retail number.
MESSAGE_AIMS = frozenset({"]C1", "]d2", "]Q3", "]J1", "]e0", "]e1", "]e2"})
RETAIL_AIMS = frozenset({"]E0", "]E4"})
# The shapes of a supplier's number: element strings as scanned, or with brackets, or
# in a GS1 Digital Link, whose scheme is all small or all capital.
MESSAGE = re.compile(r"0[12][0-9]{14}")
BRACKETED = re.compile(r"(?:\([0-9]{2,4}\)[^()]+)+")
LINK = re.compile(r"(?:https?|HTTPS?)://[^\s?#]*/01/(?P<gtin>[0-9][^/?#]*)")


@dataclass(frozen=True, slots=True)
class Line:
    """The text of one symbol, and the symbol's AIM identifier if one was sent."""

    text: str
    aim: str = ""

    @property
    def is_suppliers(self) -> bool:
        """Whether it has the shape of a supplier's symbol, so that it is no lid."""
        return (
            self.aim in MESSAGE_AIMS
            or self.aim[:2] in ("]E", "]e")
            or BRACKETED.match(self.text) is not None
            or LINK.match(self.text) is not None
            or (not self.aim and MESSAGE.match(self.text) is not None)
        )


def clean(raw: str) -> Line:
    """The symbol in `raw`: prefix, suffix and a Caps Lock left on are undone.

    Caps Lock shows only in an AIM identifier, whose letter comes in one case; without
    one the case stays as it came.
    """
    text = raw.strip(_ENDS)
    found = _AIM.match(text)
    aim = ""
    if found:
        kind, modifier = found.groups()
        text = text[found.end() :].strip(_ENDS)
        true_kind = _true_kind(kind, text)
        if true_kind != kind:
            text = text.swapcase()
        aim = f"]{true_kind}{modifier}"
    for spelt in _SPELT_GS:
        text = text.replace(spelt, GS)
    return Line(text.strip(_ENDS), aim)


def _true_kind(kind: str, text: str) -> str:
    """The identifier's letter in its right case; only EAN/UPC and DataBar have both."""
    if kind in "Ee":
        is_retail = text.isdigit() and len(text) in _RETAIL_DIGITS
        return "E" if is_retail else "e" if text.startswith("01") else kind
    return kind if kind in _KINDS else _flipped(kind)


def _flipped(kind: str) -> str:
    return kind.swapcase() if kind.swapcase() in _KINDS else kind
