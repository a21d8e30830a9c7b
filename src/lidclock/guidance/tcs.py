"""Whether a food needs time/temperature control, by its pH and water activity.

The two tables of the Food Code (1-201.10). What was not measured is taken as the worst
that it can be. Only these tables decide; they say nothing of spoilage.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from lidclock.guidance.model import Rule, Source

NEEDED, NOT_NEEDED = "needed", "not-needed"
_FILE = "tcs.toml"


@dataclass(frozen=True, slots=True)
class Band:
    """A row or column: everything up to `upper`, that included unless `exclusive`."""

    name: str
    upper: float
    exclusive: bool = False

    def holds(self, value: float) -> bool:
        """Whether `value` lies below the upper end of this band."""
        return value < self.upper if self.exclusive else value <= self.upper


@dataclass(frozen=True, slots=True)
class Table:
    """One table: columns by pH, rows by water activity, an outcome in each cell."""

    id: str
    says: str
    section: str
    source: Source
    columns: tuple[Band, ...]
    rows: tuple[Band, ...]
    cells: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """Where a food falls: the outcome, and the numbers that led there."""

    table: Table
    ph: float | None
    aw: float | None
    row: str
    column: str
    outcome: str

    @property
    def id(self) -> str:
        """The id of the published cell."""
        return f"us.fc.tcs.{self.table.id}.aw{self.row}.ph{self.column}"

    @property
    def measured(self) -> str:
        """What was measured, in words."""
        ph = "pH not measured" if self.ph is None else f"pH {self.ph:g}"
        if self.aw is None:
            return f"{ph}, water activity not measured"
        return f"{ph}, water activity {self.aw:g}"

    @property
    def as_rule(self) -> Rule:
        """The cell as the exemption that it is."""
        return Rule(
            id=self.id,
            kind="exempt",
            source=self.table.source,
            section=self.table.section,
            says=f"{self.measured}: no time/temperature control asked.",
        )


def judge_control(
    ph: float | None, aw: float | None, *, heated_then_packed: bool = False
) -> Cell:
    """The cell for a food; Table A only for food heated and then packed.

    A missing pH or water activity is taken as the highest there is: the worst case.
    """
    table = tables()["A" if heated_then_packed else "B"]
    row = _band(table.rows, 1.0 if aw is None else aw)
    column = _band(table.columns, 14.0 if ph is None else ph)
    return Cell(
        table,
        ph,
        aw,
        table.rows[row].name,
        table.columns[column].name,
        table.cells[row][column],
    )


def _band(bands: tuple[Band, ...], value: float) -> int:
    return next(i for i, band in enumerate(bands) if band.holds(value))


@cache
def tables() -> dict[str, Table]:
    """Both tables as published."""
    text = (resources.files("lidclock.guidance") / "data" / _FILE).read_text("utf-8")
    data = tomllib.loads(text)
    source = Source(**data["source"])
    return {
        key: Table(
            id=key,
            says=facts["says"],
            section=facts["section"],
            source=source,
            columns=tuple(Band(**band) for band in facts["ph"]),
            rows=tuple(
                Band(row["name"], row["upper"], row.get("exclusive", False))
                for row in facts["row"]
            ),
            cells=tuple(tuple(row["cells"]) for row in facts["row"]),
        )
        for key, facts in data["table"].items()
    }
