"""Labels: a label is a value, a stock is nine numbers, a drawing is bytes."""

from __future__ import annotations

from lidclock.labels.content import ActionLabel, Label, Ruler
from lidclock.labels.draw import (
    arrange_all,
    draw_actions,
    draw_figures,
    draw_sheet,
)
from lidclock.labels.stock import Stock, list_stock, load_stock
from lidclock.labels.tape import plain, plain_actions
from lidclock.labels.verify import read_back, verify

__all__ = [
    "ActionLabel",
    "Label",
    "Ruler",
    "Stock",
    "arrange_all",
    "draw_actions",
    "draw_figures",
    "draw_sheet",
    "list_stock",
    "load_stock",
    "plain",
    "plain_actions",
    "read_back",
    "verify",
]
