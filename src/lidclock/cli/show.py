"""Words and columns: how containers, dates and reasons look on a screen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import timedelta
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from lidclock.app.instants import to_second
from lidclock.app.listed_words import (
    listed_words,
    moment_words,
    unmarked_reason,
)
from lidclock.app.verdict_words import (
    box,
    date_word,
    limit_lines,
    plural,
    reason_lines,
    say_when,
    source_words,
    status_line,
)
from lidclock.domain.codes import spaced
from lidclock.domain.masses import say_mass
from lidclock.domain.moments import (
    local_date,
)

if TYPE_CHECKING:
    from lidclock.app.lists import Listed
    from lidclock.app.session import View

# Said here and on pages alike.
__all__ = [
    "box",
    "date_word",
    "limit_lines",
    "listed_words",
    "moment_words",
    "plural",
    "reason_lines",
    "say_when",
    "source_words",
    "status_line",
    "unmarked_reason",
]

_GAP = "  "
_TICK = timedelta(microseconds=1)


def columns(rows: Sequence[Sequence[str]], indent: int = 0) -> list[str]:
    """Rows as aligned lines; a column that is empty everywhere is left out."""
    if not rows:
        return []
    widths = [max(map(len, cells)) for cells in zip(*rows, strict=True)]
    lines = []
    for row in rows:
        cells = [
            cell.ljust(width)
            for cell, width in zip(row, widths, strict=True)
            if width > 0
        ]
        lines.append(" " * indent + _GAP.join(cells).rstrip())
    return lines


def mass(mass_g: float | None) -> str:
    """The mass, or nothing where nobody weighed it."""
    return "" if mass_g is None else say_mass(mass_g)


def offset_words(offset_mm: tuple[float, float]) -> str:
    """`1.5 mm right, 0.5 mm up`; nothing where nothing is moved."""
    right, down = offset_mm
    return ", ".join(
        f"{abs(length):g} mm {way if length > 0 else other}"
        for length, way, other in ((right, "right", "left"), (down, "down", "up"))
        if length
    )


def listed_row(listed: Listed) -> list[str]:
    """One container as cells: code, food, box, mass, status, date."""
    one = listed.container
    return [
        spaced(one.code),
        one.food,
        box(one.index, one.of),
        mass(one.mass_g),
        "frozen" if listed.status == "paused" else listed.status,
        listed_words(listed),
    ]


def unmarked_row(listed: Listed) -> list[str]:
    """An unmarked container as cells: what it is, where, and what it lacks."""
    lacks = unmarked_reason(listed.container)
    if listed.status == "over":
        lacks = f"{lacks}, past its last moment"
    elif listed.container.standing == "dated":
        lacks = f"{lacks}, {moment_words(listed)}"
    return [*listed_row(listed)[:4], listed.container.place, lacks]


def prefixed(word: str, lines: Iterable[str]) -> list[str]:
    """`unknown: ...` in front of each line."""
    return [f"{word}: {line}" for line in lines]


def did_line(view: View, did: str, number: int = 0) -> str:
    """What was recorded, and how the container stands now."""
    from lidclock.app.moves import Done
    from lidclock.app.scanning import done_line

    return done_line(Done(did, view), number)


def missing_lines(missing: Sequence[Listed]) -> list[str]:
    """What was looked for and not seen."""
    rows = [[*listed_row(one)[:4], listed_words(one)] for one in missing]
    title = ["missing: scan it into a place if it turns up"] if rows else []
    return [*title, *columns(rows, indent=2)]


def listed_json(listed: Listed, zone: ZoneInfo) -> dict[str, Any]:
    """One listed container as JSON-ready data."""
    one = listed.container
    day = one.last_day
    if listed.status == "over" and one.last_moment is not None:
        day = local_date(one.last_moment - _TICK, zone)
    return {
        "code": one.code,
        "food": one.food,
        "status": listed.status,
        "last_day": day.isoformat() if day else None,
        "last_moment": to_second(one.last_moment, zone) if day else None,
        "best_by": one.best_by.isoformat() if one.best_by else None,
        "days_left": listed.days_left,
        "binding": one.binding or None,
        "house_rule": one.is_house_rule,
        "place": one.place or None,
        "state": one.state or None,
        "mass_g": one.mass_g,
        "batch": one.batch_number,
        "index": one.index,
        "of": one.of,
        "lot": one.lot or None,
        "made_at": to_second(one.made_at, zone),
        "opened_at": to_second(one.opened_at, zone),
        "labelled": one.is_labelled,
        "unmarked": one.is_unmarked,
    }
