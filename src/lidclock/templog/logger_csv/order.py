"""Day, month, year: in which order a file writes its numerals, and how one knows.

A date that is one only in one order settles it; so do two rows on both sides of a
midnight that lie a step apart in one order and weeks apart in the other. Where no row
settles it, nothing is assumed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from lidclock.templog.logger_csv.fields import decoded, split
from lidclock.templog.logger_csv.layout import Layout
from lidclock.templog.logger_csv.text import Lines
from lidclock.templog.logger_csv.times import DAY_US, ORDERS, matched, stamp_of

ORDER_WORDS = {"dmy": "day first", "mdy": "month first", "ymd": "year first"}
_MOST_DATES = 100_000
# In the wrong order, dates a day apart lie at least four weeks apart.
_FAR_US = 28 * DAY_US


def has_numerals(text: str, kind: str) -> bool:
    """Whether a text has day and month as numerals that could be swapped."""
    if kind not in ("moment", "date"):
        return False
    match = matched(text, kind)
    return match is not None and "a" in match.groupdict()


@dataclass(frozen=True, slots=True)
class Settled:
    """The order of a file's numerals and the reason for it."""

    order: str
    reason: str


class OrderEvidence:
    """What the dates of a file, fed in turn, say of their order."""

    def __init__(self, layout: Layout) -> None:
        self._layouts = {order: replace(layout, order=order) for order in ORDERS}
        self._layout = layout
        self._days: dict[str, dict[str, int]] = {}
        self._refuted_by: dict[str, str] = {}
        self._by_midnight: dict[str, str] = {}
        self._before: tuple[str, list[str]] = ("", [])

    def read(self, blocks: Iterable[Lines]) -> Settled | None:
        """Look until something settles it; None if the whole file does not."""
        for lines in blocks:
            self._look(lines)
            if found := self.settled():
                return found
        return self._same_anyway()

    def settled(self) -> Settled | None:
        """What the dates so far settle, if they do."""
        possible = [order for order in ORDERS if order not in self._refuted_by]
        if len(possible) == 1 and self._days:
            dates = sorted({self._refuted_by[o] for o in self._refuted_by})
            telling = [date for date in dates if self._days[date]]
            named = next((d for d in telling if not _is_long_year(d)), telling[0])
            return Settled(possible[0], f"since {named} occurs")
        near = [order for order in self._by_midnight if order in possible]
        if len(near) == 1:
            return Settled(near[0], f"since {self._by_midnight[near[0]]}")
        return None

    @property
    def contradiction(self) -> str:
        """Two dates that no order fits both, or ``."""
        if len(self._refuted_by) < len(ORDERS):
            return ""
        return " and ".join(sorted({self._refuted_by["dmy"], self._refuted_by["mdy"]}))

    def spans(self) -> dict[str, tuple[int, int]]:
        """First and last day since 1970 in each order that the dates allow."""
        return {
            order: (
                min(days[order] for days in self._days.values()),
                max(days[order] for days in self._days.values()),
            )
            for order in ORDERS
            if order not in self._refuted_by and self._days
        }

    def _same_anyway(self) -> Settled | None:
        spans = list(self.spans())
        is_same = spans and all(
            len({days[order] for order in spans}) == 1 for days in self._days.values()
        )
        return Settled(spans[0], "which is the same either way") if is_same else None

    def _look(self, lines: Lines) -> None:
        layout = self._layout
        index, kind = layout.times[0]
        for number, line in enumerate(lines.split(), start=lines.first):
            fields = split(decoded(line), layout.delimiter)
            if number < layout.first_row or len(fields) < layout.needed:
                continue
            match = matched(fields[index], kind)
            if match is None or "a" not in match.groupdict():
                continue
            date = match["s"].join((match["a"], match["b"], match["c"]))
            if date != self._before[0]:
                self._note(date, match, kind)
                self._across_midnight(fields)
            self._before = (date, fields)

    def _note(self, date: str, match: re.Match[str], kind: str) -> None:
        if date in self._days or len(self._days) >= _MOST_DATES:
            return
        found = {order: stamp_of(match, kind, order) for order in ORDERS}
        days = {
            order: stamp.days
            for order, stamp in found.items()
            if stamp is not None and stamp.days is not None
        }
        if days:
            self._days[date] = days
            for order in ORDERS:
                if order not in days:
                    self._refuted_by.setdefault(order, date)

    def _across_midnight(self, fields: list[str]) -> None:
        """Note the order that puts this row a step after the last, others far off."""
        if not self._before[1]:
            return
        apart: dict[str, int] = {}
        for order, layout in self._layouts.items():
            stamps = layout.stamp(self._before[1]), layout.stamp(fields)
            times = [stamp.local_us for stamp in stamps if stamp is not None]
            known = [at_us for at_us in times if at_us is not None]
            if len(known) == 2:
                apart[order] = abs(known[1] - known[0])
        near = [order for order, us in apart.items() if us < DAY_US]
        is_clear = all(
            us >= _FAR_US for order, us in apart.items() if order not in near
        )
        if len(near) == 1 and len(apart) > 1 and is_clear:
            said = [self._said(one) for one in (self._before[1], fields)]
            self._by_midnight.setdefault(near[0], f"{said[0]} is followed by {said[1]}")

    def _said(self, fields: list[str]) -> str:
        return " ".join(fields[index] for index, _ in self._layout.times)


def _is_long_year(date: str) -> bool:
    """Whether the year's four digits, and no day, refute an order."""
    first, second, *_ = re.split(r"\D", date)
    return int(first) <= 12 and int(second) <= 12
