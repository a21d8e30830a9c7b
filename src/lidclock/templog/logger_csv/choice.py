"""Which columns hold times, temperatures and the names of sensors.

Every choice that could have been another one leaves a note.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from lidclock.errors import InputError
from lidclock.templog.logger_csv import columns
from lidclock.templog.logger_csv.findings import quoted
from lidclock.templog.logger_csv.headings import Head
from lidclock.templog.logger_csv.table import Line, is_number

_MOST_NAMES = 64
_TEMP_OPTION, _TIME_OPTION = "--temp", "--time"


@dataclass(frozen=True, slots=True)
class Wishes:
    """What a person chose, or chose last time: columns by number or heading.

    `reason` says which of the two.
    """

    times: tuple[str, ...] = ()
    temps: tuple[str, ...] = ()
    unit: str = ""
    order: str = ""
    reason: str = "as you say"


@dataclass(frozen=True, slots=True)
class Chooser:
    """Chooses columns of one table; InputError where it cannot."""

    head: Head
    wishes: Wishes
    notes: list[str] = field(default_factory=list)

    def times(self) -> list[int]:
        """The column of moments, or those of dates and of times of day."""
        if self.wishes.times:
            return self._wished_times()
        of = {kind: self._of(kind) for kind in ("moment", "date", "clock")}
        if of["moment"]:
            found = of["moment"]
            if len(found) > 1:
                others = " and ".join(self.head.named(index) for index in found[1:])
                self.notes.append(f"{others} could be the times too; --time takes them")
            return found[:1]
        if of["date"] and of["clock"]:
            return [of["date"][0], of["clock"][0]]
        counts = self._of("epoch") or [
            index
            for index in self._of("serial")
            if not self.head.headings or columns.is_time(self.head.labels[index])
        ]
        if not counts:
            raise InputError("no column of times was found; name it with --time")
        return counts[:1]

    def _of(self, kind: str) -> list[int]:
        return [
            index
            for index in range(self.head.table.width)
            if self.head.table.is_of(kind, index)
        ]

    def _wished_times(self) -> list[int]:
        found = [self.head.column(wish, _TIME_OPTION) for wish in self.wishes.times]
        if len(found) == 1 and self.head.table.is_of("date", found[0]):
            found += [index for index in self._of("clock") if index not in found][:1]
        if len(found) == 1 and self.kind(found[0]):
            return found
        if len(found) == 2 and self.head.table.is_of("clock", found[0]):
            found.reverse()
        pair = len(found) == 2 and self.head.table.is_of("date", found[0])
        if pair and self.head.table.is_of("clock", found[1]):
            return found
        example = next(iter(self.head.table.texts(found[0])), "")
        raise InputError(
            f"--time: {self.head.named(found[0])} holds no times that can be read, as "
            f"{quoted(example)} is none; name a column of dates with times, or one of "
            "dates and one of times"
        )

    def kind(self, index: int) -> str:
        """What kind of moments a column holds; `` if it holds none."""
        kinds = ("moment", "epoch", "serial")
        return next((one for one in kinds if self.head.table.is_of(one, index)), "")

    def name_index(self, times: list[int]) -> int | None:
        """The column that names sensors, if there is one."""
        found: list[tuple[int, int]] = []
        words = {}
        taken = {*times, *self._wished_temps()}
        for index, label in enumerate(self.head.labels):
            texts = self.head.table.texts(index)
            names = set(texts)
            if index in taken or not texts:
                continue
            if self.head.headings and _parts_things(label, names):
                listed = ", ".join(quoted(name) for name in sorted(names)[:4])
                raise InputError(
                    f"{self.head.named(index)} names different things ({listed}): "
                    "leave only the rows of temperatures in the file"
                )
            if self.head.headings and _may_name(label, texts):
                found.append((-len(names), index))
            if not any(is_number(name) for name in names):
                words[index] = names
        if found:
            return min(found)[1]
        return self._parts_moments(times, words)

    def _parts_moments(
        self, times: list[int], words: dict[int, set[str]]
    ) -> int | None:
        """The column of words that differ where one moment has several rows."""
        by_moment: dict[tuple[str, ...], list[Line]] = {}
        for row in self.head.table.rows:
            moment = tuple(row.fields[index] for index in times)
            by_moment.setdefault(moment, []).append(row)
        several = [rows for rows in by_moment.values() if len(rows) > 1]
        for index, names in words.items():
            if several and all(
                len({row.fields[index] for row in rows}) > 1 for rows in several
            ):
                return index
            if not self.head.headings and len(names) > 1:
                listed = ", ".join(quoted(name) for name in sorted(names)[:4])
                self.notes.append(
                    f"column {index + 1} holds {listed}: if these are sensors, put a "
                    "line of headings above the rows that calls it 'sensor'"
                )
        return None

    def temps(self, taken: Sequence[int | None]) -> list[int]:
        """The columns of temperatures, apart from those that are `taken`."""
        if self.wishes.temps:
            return self._wished_temps()
        numbers = [
            index
            for index in range(self.head.table.width)
            if index not in taken
            and self.head.table.is_number(index)
            and not any(self.head.table.is_of(k, index) for k in ("moment", "clock"))
        ]
        named = [
            index for index in numbers if columns.is_temperature(self._label(index))
        ]
        if named:
            return self._one_of_twins(named)
        open_ = [
            index
            for index in numbers
            if not columns.is_other(self._label(index))
            and not columns.is_not_measured(self._label(index))
            and not self._counts_up(index)
        ]
        if len(open_) != 1:
            listed = ", ".join(self.head.named(index) for index in open_ or numbers)
            raise InputError(
                "which column holds the temperatures? name it, or several, with "
                f"--temp; there are {listed or 'no columns of numbers'}"
            )
        return open_

    def _wished_temps(self) -> list[int]:
        return [self.head.column(wish, _TEMP_OPTION) for wish in self.wishes.temps]

    def _label(self, index: int) -> str:
        """The heading, or the unit behind the column's numbers."""
        unit = columns.unit_of_values(self.head.table.texts(index))
        label = self.head.label(index)
        return f"{label} °{unit}" if unit else label

    def _one_of_twins(self, found: list[int]) -> list[int]:
        """Of the same temperature in °C and in °F, the one in °C."""
        bare = {index: columns.without_unit(self._label(index)) for index in found}
        units = {index: columns.unit_of(self._label(index)) for index in found}
        kept = [
            index
            for index in found
            if units[index] != "F"
            or not any(bare[o] == bare[index] and units[o] == "C" for o in found)
        ]
        for index in found:
            if index not in kept:
                self.notes.append(
                    f"{self.head.named(index)} is the same in °F, left out"
                )
        return kept

    def _counts_up(self, index: int) -> bool:
        """Whether a column only numbers the rows."""
        texts = self.head.table.texts(index)
        if not all(text.isdecimal() for text in texts) or len(texts) < 2:
            return False
        numbers = [int(text) for text in texts]
        steps = {b - a for a, b in pairwise(numbers)}
        return steps in ({1}, {-1})


def _parts_things(label: str, names: set[str]) -> bool:
    """Whether a column says what was measured, and not only temperatures were."""
    others = any(columns.is_other(name) for name in names)
    return len(names) > 1 and columns.is_thing(label) and others


def _may_name(label: str, texts: Sequence[str]) -> bool:
    """Whether a column says whose reading a row is: few words, again and again."""
    names = set(texts)
    is_few = len(names) <= _MOST_NAMES and 2 * len(names) <= len(texts) + 1
    if not columns.is_name(label) or not is_few:
        return False
    if all(name.isdecimal() for name in names):
        return not columns.is_temperature(label)
    return not any(is_number(name) for name in names)
