"""Labels: a label is a value, a stock is nine numbers, a drawing is bytes."""

from __future__ import annotations

from lidclock.labels.content import ActionLabel, Label, Ruler
from lidclock.labels.draw import draw_actions, draw_sheet
from lidclock.labels.stock import Stock, list_stock, load_stock
from lidclock.labels.tape import plain
from lidclock.labels.verify import read_back, verify

__all__ = [
    "ActionLabel",
    "Label",
    "Ruler",
    "Stock",
    "draw_actions",
    "draw_sheet",
    "list_stock",
    "load_stock",
    "plain",
    "read_back",
    "verify",
]
