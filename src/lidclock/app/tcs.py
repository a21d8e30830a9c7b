"""The tables of pH and water activity, for those who look a food up."""

from __future__ import annotations

from typing import Any

from lidclock.guidance.tcs import NOT_NEEDED, judge_control, tables

_WORDS = {
    True: "no time/temperature control asked by these tables",
    False: "needs time/temperature control unless an assessment shows otherwise",
}


def judged(
    ph: float | None, aw: float | None, *, heated_then_packed: bool = False
) -> dict[str, Any]:
    """Where a food falls in the tables, as JSON-ready data."""
    cell = judge_control(ph, aw, heated_then_packed=heated_then_packed)
    source = cell.table.source
    is_free = cell.outcome == NOT_NEEDED
    return {
        "id": cell.id,
        "table": cell.table.id,
        "row": cell.row,
        "column": cell.column,
        "control_needed": not is_free,
        "measured": cell.measured,
        "words": _WORDS[is_free],
        "source": f"{source.authority}, {source.document}, {cell.table.section}, "
        f"{source.year}",
    }


def table_rows(cell: dict[str, Any]) -> list[str]:
    """The table as lines, the food's own cell in brackets."""
    table = tables()[cell["table"]]
    head = ["water activity", *(f"pH {column.name}" for column in table.columns)]
    rows = [head]
    for row, outcomes in zip(table.rows, table.cells, strict=True):
        words = ["no" if one == NOT_NEEDED else "yes" for one in outcomes]
        names = [column.name for column in table.columns]
        marked = [
            f"[{word}]" if (row.name, name) == (cell["row"], cell["column"]) else word
            for word, name in zip(words, names, strict=True)
        ]
        rows.append([row.name, *marked])
    widths = [max(map(len, cells)) for cells in zip(*rows, strict=True)]
    title = f"Table {table.id}: {table.says}; is control needed?"
    lines = (
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        for row in rows
    )
    return [title, *(f"  {line.rstrip()}" for line in lines)]
