"""Label layouts: type sizes, margins and symbol sizes, read from data files."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from lidclock.errors import LabelError
from lidclock.labels import data

Pair = tuple[float, float]
ARRANGEMENTS = ("side", "across", "small")
_PAIRS = ("name_pt", "headline_pt", "body_pt", "code_pt", "bar_height_mm")
_LENGTHS = ("margin_side_mm", "margin_top_mm", "margin_bottom_mm", "bar_module_mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """How a label is arranged. Pairs are (preferred, smallest)."""

    name: str
    arrangement: str
    margin_side_mm: float
    margin_top_mm: float
    margin_bottom_mm: float
    name_pt: Pair
    headline_pt: Pair
    body_pt: Pair
    code_pt: Pair
    bar_height_mm: Pair
    bar_module_mm: float
    qr_module_mm: tuple[float, ...]

    @property
    def is_small(self) -> bool:
        """Whether it has no room for bars and an address."""
        return self.arrangement == "small"

    def __post_init__(self) -> None:
        if self.arrangement not in ARRANGEMENTS:
            expected = ", ".join(ARRANGEMENTS)
            raise LabelError(
                f"layout {self.name}: arrangement must be one of {expected}, "
                f"not {self.arrangement!r}"
            )
        for key in _PAIRS:
            preferred, smallest = getattr(self, key)
            if not 0 < smallest <= preferred:
                raise LabelError(
                    f"layout {self.name}: {key} must be [preferred, smallest], above "
                    f"zero, not [{preferred}, {smallest}]"
                )


def load_layout(name: str) -> Layout:
    """The layout of that name, from its data file, checked."""
    if not data.has("layout", name):
        known = ", ".join(data.names("layout"))
        raise LabelError(f"no label layout {name!r}; there is {known}")
    table = data.read("layout", name)
    where = f"layout {name}"
    modules = _numbers(table, "qr_module_mm", where)
    return Layout(
        name=name,
        arrangement=data.text(table, "arrangement", where),
        qr_module_mm=modules,
        name_pt=_pair(table, "name_pt", where),
        headline_pt=_pair(table, "headline_pt", where),
        body_pt=_pair(table, "body_pt", where),
        code_pt=_pair(table, "code_pt", where),
        bar_height_mm=_pair(table, "bar_height_mm", where),
        **{key: data.number(table, key, where) for key in _LENGTHS},
    )


def _numbers(table: dict[str, Any], key: str, where: str) -> tuple[float, ...]:
    value = table.get(key)
    if not isinstance(value, list) or not value:
        raise LabelError(f"{where}: {key} must be a list of numbers, not {value!r}")
    return tuple(data.number({key: one}, key, where) for one in value)


def _pair(table: dict[str, Any], key: str, where: str) -> Pair:
    numbers = _numbers(table, key, where)
    if len(numbers) != 2:
        raise LabelError(f"{where}: {key} must be [preferred, smallest]")
    return numbers[0], numbers[1]
