"""The layout of labels for sale: sizes and margins, read from a data file."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from lidclock.errors import LabelError
from lidclock.labels import data

_KIND, _NAME = "retail", "layout"
_WHERE = "retail layout"
_LENGTHS = (
    *("margin_side_mm", "margin_top_mm", "margin_bottom_mm"),
    *("body_pt", "name_share", "date_share", "net_share"),
    *("bar_height_mm", "bar_module_mm"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class RetailLayout:
    """How a label for sale is arranged; `air` is (gap in mm, share of leading)."""

    margin_side_mm: float
    margin_top_mm: float
    margin_bottom_mm: float
    body_pt: float
    name_share: float
    date_share: float
    net_share: float
    bar_height_mm: float
    bar_module_mm: float
    code_pt: tuple[float, float]
    qr_module_mm: tuple[float, ...]
    air: tuple[tuple[float, float], ...]


@cache
def load_retail_layout() -> RetailLayout:
    """The layout in labels/retail/layout.toml, checked."""
    table = data.read(_KIND, _NAME)
    (code,) = _pairs([table.get("code_pt")], "code_pt")
    return RetailLayout(
        **{key: data.number(table, key, _WHERE) for key in _LENGTHS},
        code_pt=code,
        qr_module_mm=tuple(
            data.number({"qr_module_mm": one}, "qr_module_mm", _WHERE)
            for one in table.get("qr_module_mm", [None])
        ),
        air=_pairs(table.get("air"), "air"),
    )


def _pairs(value: Any, key: str) -> tuple[tuple[float, float], ...]:
    if not isinstance(value, list) or not value:
        raise LabelError(f"{_WHERE}: {key} must be a list of pairs")
    found = []
    for pair in value:
        if not isinstance(pair, list) or len(pair) != 2:
            raise LabelError(f"{_WHERE}: {key} must hold pairs, not {pair!r}")
        first, second = (data.number({key: one}, key, _WHERE) for one in pair)
        found.append((first, second))
    return tuple(found)
