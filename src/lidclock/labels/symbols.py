"""Symbols at a printer's resolution: whole-dot modules and their quiet zones."""

from __future__ import annotations

from lidclock.labels import codes
from lidclock.labels.content import Label
from lidclock.labels.figure import Box, Symbol
from lidclock.labels.grid import Grid

_AS_MODULES = bytes(one & 1 for one in range(256))


def again(symbol: Symbol, label: Label) -> Symbol:
    """The same symbol in the same place for a label whose symbols are as large."""
    made = _bars(label.code) if symbol.kind == "code128" else codes.qr(label.uri)
    dots = symbol.module_dots, symbol.row_dots
    return Symbol(symbol.kind, symbol.x, symbol.y, *dots, made)


def matrix(text: str, dots: Grid, module_mm: float) -> tuple[Symbol, Box]:
    """A QR symbol at the origin, and its box with four quiet modules all round."""
    rows = codes.qr(text)
    module = dots.module_dots(module_mm)
    side, quiet = len(rows) * module * dots.mm, codes.QR_QUIET * module * dots.mm
    symbol = Symbol("qr", 0.0, 0.0, module, module, rows)
    return symbol, Box("qr", -quiet, -quiet, side + 2 * quiet, side + 2 * quiet)


def small_matrix(text: str, dots: Grid, module_mm: float) -> tuple[Symbol, Box]:
    """A Data Matrix at the origin, and its box with its quiet modules all round."""
    rows = codes.data_matrix(text)
    module = dots.module_dots(module_mm)
    side, quiet = len(rows) * module * dots.mm, codes.MATRIX_QUIET * module * dots.mm
    symbol = Symbol("data-matrix", 0.0, 0.0, module, module, rows)
    return symbol, Box(
        "data-matrix", -quiet, -quiet, side + 2 * quiet, side + 2 * quiet
    )


def bars(
    text: str, dots: Grid, module_mm: float, height_mm: float
) -> tuple[Symbol, Box]:
    """A Code 128 symbol at the origin, and its box with ten quiet modules each side."""
    modules = _bars(text)
    module = dots.module_dots(module_mm)
    tall = max(1, round(dots.up(height_mm) / dots.mm))
    wide, quiet = (n * module * dots.mm for n in (len(modules[0]), codes.CODE128_QUIET))
    symbol = Symbol("code128", 0.0, 0.0, module, tall, modules)
    return symbol, Box("code128", -quiet, 0.0, wide + 2 * quiet, tall * dots.mm)


def _bars(text: str) -> tuple[bytes, ...]:
    return (codes.code128(text).encode("ascii").translate(_AS_MODULES),)
