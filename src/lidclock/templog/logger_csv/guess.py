"""What kind of file it is, from its first lines; what they do not tell is asked.

Nothing is guessed silently: every choice comes with its reason, and where the lines
leave a choice open there is a question that names the option which answers it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from lidclock.errors import InputError
from lidclock.templog.logger_csv import columns
from lidclock.templog.logger_csv.findings import quoted
from lidclock.templog.logger_csv.layout import Layout, TempColumn
from lidclock.templog.logger_csv.numbers import decimal_mark, unit_in
from lidclock.templog.logger_csv.order import has_numerals
from lidclock.templog.logger_csv.table import (
    Line,
    Table,
    best_table,
    is_number,
    kinds_of,
)

_MOST_NAMES = 64
_TEMP_OPTION, _TIME_OPTION, _UNIT_OPTION = "--temp", "--time", "--unit"


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
class Question:
    """Something the file leaves open; `option` answers it."""

    option: str
    text: str
    answers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Guess:
    """A layout with its reasons, and what is still to be asked.

    `units_from` says for each temperature column where its unit is from.
    `order_from` says so for the order of numerals, `` while that is open. `source`
    is the same for files of the same kind and device, `` if nothing tells the kind.
    """

    layout: Layout
    labels: tuple[str, ...]
    notes: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    units_from: tuple[str, ...] = ()
    order_from: str = ""
    zone_said: str = ""
    device: str = ""
    source: str = ""

    @property
    def needs_order(self) -> bool:
        """Whether days and months are numerals whose order is open."""
        return not self.layout.order


def guess(texts: Sequence[str], wishes: Wishes | None = None) -> Guess:
    """How to read a file that begins with these lines.

    InputError if no table of times and numbers is in them, or a wish fits no column.
    """
    return _Guesser(_table(texts), wishes or Wishes()).guess()


def source_of(texts: Sequence[str]) -> str:
    """What is the same for files of one kind and device; `` if nothing tells it.

    InputError if no table of times and numbers is in the lines.
    """
    guesser = _Guesser(_table(texts), Wishes())
    return guesser.source(guesser.device())


def _table(texts: Sequence[str]) -> Table:
    table = best_table(texts)
    if table is None:
        raise InputError(
            f"no row with date, time of day and temperature in the first {len(texts)} "
            "lines: is it a data logger's CSV?"
        )
    return _from_the_first_row(table)


def _from_the_first_row(table: Table) -> Table:
    """Rows that are faults only, just above the first with a number, are rows too."""
    by_number = {line.number: line for line in table.lines}
    rows = list(table.rows)
    while above := by_number.get(rows[0].number - 1):
        has_time = any(
            table.is_of(kind, index) and kind in kinds_of(above.fields[index])
            for index in range(min(table.width, len(above.fields)))
            for kind in ("moment", "date", "epoch", "serial")
        )
        if len(above.fields) != table.width or not has_time:
            break
        rows.insert(0, above)
    return replace(table, rows=tuple(rows))


class _Guesser:
    """One table and one set of wishes."""

    def __init__(self, table: Table, wishes: Wishes) -> None:
        self.table = table
        self.wishes = wishes
        self.notes: list[str] = []
        self.questions: list[Question] = []
        self.headings = _headings(table)
        self.labels = _labels(table, self.headings)
        self.has_labels = bool(self.headings)

    def guess(self) -> Guess:
        times = self._times()
        name_index = self._name_index(times)
        temps = self._temps([*times, name_index])
        columns_, units_from = self._with_units(temps)
        mark = decimal_mark(text for index in temps for text in self.table.texts(index))
        order, order_from = self._order(times)
        layout = Layout(
            delimiter=self.table.delimiter,
            width=self.table.width,
            first_row=self.table.rows[0].number,
            time_index=times[-1],
            temps=columns_,
            date_index=times[0] if len(times) > 1 else None,
            kind="clock" if len(times) > 1 else self._kind(times[0]),
            order=order,
            mark=mark,
            offset_us=self._offset(times),
            name_index=name_index,
            headings=frozenset(line.text for line in self.headings),
        )
        self._check_width(temps)
        device = self.device()
        return Guess(
            layout,
            self.labels,
            tuple(self.notes),
            tuple(self.questions),
            units_from,
            order_from,
            self._zone_said(),
            device,
            self.source(device),
        )

    # Columns

    def _column(self, wish: str, option: str) -> int:
        """The column that a person named by number or heading."""
        folded = wish.strip().casefold()
        if folded.isdecimal() and 1 <= int(folded) <= self.table.width:
            return int(folded) - 1
        for fits in (str.__eq__, str.startswith, str.__contains__):
            found = [
                index
                for index, label in enumerate(self.labels)
                if fits(label.casefold(), folded)
            ]
            if len(found) == 1 or (found and fits is str.__eq__):
                return found[0]
            if found:
                break
        listed = ", ".join(self._named(index) for index in range(self.table.width))
        raise InputError(
            f"{option} {wish!r} is no column of this file; there are {listed}"
        )

    def _named(self, index: int) -> str:
        return named_column(self.labels, index)

    def _times(self) -> list[int]:
        if self.wishes.times:
            return self._wished_times()
        of = {kind: self._of(kind) for kind in ("moment", "date", "clock")}
        if of["moment"]:
            found = of["moment"]
            if len(found) > 1:
                others = " and ".join(self._named(index) for index in found[1:])
                self.notes.append(f"{others} could be the times too; --time takes them")
            return found[:1]
        if of["date"] and of["clock"]:
            return [of["date"][0], of["clock"][0]]
        counts = self._of("epoch") or [
            index
            for index in self._of("serial")
            if not self.has_labels or columns.is_time(self.labels[index])
        ]
        if not counts:
            raise InputError("no column of times was found; name it with --time")
        return counts[:1]

    def _of(self, kind: str) -> list[int]:
        return [
            index for index in range(self.table.width) if self.table.is_of(kind, index)
        ]

    def _wished_times(self) -> list[int]:
        found = [self._column(wish, _TIME_OPTION) for wish in self.wishes.times]
        if len(found) == 1 and self.table.is_of("date", found[0]):
            found += [index for index in self._of("clock") if index not in found][:1]
        if len(found) == 1 and self._kind(found[0]):
            return found
        if len(found) == 2 and self.table.is_of("clock", found[0]):
            found.reverse()
        pair = len(found) == 2 and self.table.is_of("date", found[0])
        if pair and self.table.is_of("clock", found[1]):
            return found
        example = next(iter(self.table.texts(found[0])), "")
        raise InputError(
            f"--time: {self._named(found[0])} holds no times that can be read, such as "
            f"{quoted(example)}; name a column of dates with times, or one of dates "
            "and one of times"
        )

    def _kind(self, index: int) -> str:
        kinds = ("moment", "epoch", "serial")
        return next((one for one in kinds if self.table.is_of(one, index)), "")

    def _name_index(self, times: list[int]) -> int | None:
        """The column that names sensors, if there is one."""
        found: list[tuple[int, int]] = []
        for index, label in enumerate(self.labels):
            texts = self.table.texts(index)
            names = set(texts)
            if index in times or not texts or not self.has_labels:
                continue
            if columns.is_thing(label) and 1 < len(names) <= _MOST_NAMES:
                listed = ", ".join(quoted(name) for name in sorted(names)[:4])
                raise InputError(
                    f"{self._named(index)} names different things ({listed}): leave "
                    "only the rows of temperatures in the file"
                )
            if str(index + 1) not in self.wishes.temps and _may_name(label, texts):
                found.append((-len(names), index))
        return min(found)[1] if found else None

    def _temps(self, taken: Sequence[int | None]) -> list[int]:
        if self.wishes.temps:
            return [self._column(wish, _TEMP_OPTION) for wish in self.wishes.temps]
        numbers = [
            index
            for index in range(self.table.width)
            if index not in taken
            and self.table.is_number(index)
            and not any(self.table.is_of(k, index) for k in ("moment", "clock"))
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
            listed = ", ".join(self._named(index) for index in open_ or numbers)
            raise InputError(
                "which column holds the temperatures? name it, or several, with "
                f"--temp; there are {listed or 'no columns of numbers'}"
            )
        return open_

    def _label(self, index: int) -> str:
        """The heading, or the unit behind the column's numbers."""
        unit = columns.unit_of_values(self.table.texts(index))
        label = self.labels[index] if self.has_labels else ""
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
                self.notes.append(f"{self._named(index)} is the same in °F, left out")
        return kept

    def _counts_up(self, index: int) -> bool:
        """Whether a column only numbers the rows."""
        texts = self.table.texts(index)
        if not all(text.isdecimal() for text in texts) or len(texts) < 2:
            return False
        numbers = [int(text) for text in texts]
        steps = {b - a for a, b in pairwise(numbers)}
        return steps in ({1}, {-1})

    # Units, order, zone

    def _with_units(
        self, temps: list[int]
    ) -> tuple[tuple[TempColumn, ...], tuple[str, ...]]:
        found, reasons, missing = [], [], []
        for index in temps:
            unit, reason = self._unit(index)
            found.append(TempColumn(index, self.labels[index], unit))
            reasons.append(reason)
            if not unit:
                missing.append(self._named(index))
        if missing:
            text = f"no unit is given for {' and '.join(missing)}: °C or °F?"
            self.questions.append(Question(_UNIT_OPTION, text, ("C", "F")))
        return tuple(found), tuple(reasons)

    def _unit(self, index: int) -> tuple[str, str]:
        if columns.is_kelvin(self.labels[index]):
            raise InputError(
                f"{self._named(index)} is in kelvin, which is not read; export it in "
                "°C, or name another column with --temp"
            )
        if self.wishes.unit:
            return self.wishes.unit, self.wishes.reason
        label = columns.unit_of(self.labels[index]) if self.has_labels else ""
        values = columns.unit_of_values(self.table.texts(index))
        if label and values and label != values:
            raise InputError(
                f"{self._named(index)} is headed °{label}, but its values are in "
                f"°{values}: say which holds with --unit"
            )
        if label or values:
            return label or values, "by its heading" if label else "by its values"
        beside = self._unit_column()
        if beside:
            return beside, "by the unit beside it"
        above = columns.unit_of_preamble(
            line.text for line in self.table.above if line not in self.headings
        )
        return above, "by a line above" if above else ""

    def _unit_column(self) -> str:
        """The unit in a column of its own, where every row has the same."""
        found = set()
        for index in range(self.table.width):
            units = {unit_in(text) for text in self.table.texts(index)}
            if len(units) == 1:
                found |= units
        found.discard("")
        return found.pop() if len(found) == 1 else ""

    def _order(self, times: list[int]) -> tuple[str, str]:
        """The order of numerals and its reason; both empty while the rows must tell.

        A year of four digits in front leaves nothing open, nor do months by name.
        """
        kind = "date" if len(times) > 1 else self._kind(times[0])
        if not any(has_numerals(text, kind) for text in self.table.texts(times[0])):
            return "ymd", "plain"
        if self.wishes.order:
            return self.wishes.order, self.wishes.reason
        said = columns.order_in(" ".join(line.text for line in self.headings))
        return said, "by the heading" if said else ""

    def _offset(self, times: list[int]) -> int | None:
        if not self.has_labels:
            return None
        found = [columns.offset_in(self.labels[index]) for index in times]
        return next((offset for offset in found if offset is not None), None)

    def _zone_said(self) -> str:
        said = [columns.zone_line(line.text) for line in self.table.above]
        return next((one for one in said if one), "")

    # The kind of file

    def _check_width(self, temps: list[int]) -> None:
        """Refuse decimal commas that also part the fields: they cannot be told."""
        if self.table.delimiter != "," or not self.headings or self.wishes.temps:
            return
        heading = [field for field in self.headings[-1].fields if field]
        if len(heading) >= self.table.width:
            return
        halves = [
            index
            for index in temps
            if index + 1 < self.table.width
            and all(text.lstrip("+-").isdecimal() for text in self.table.texts(index))
            and all(text.isdecimal() for text in self.table.texts(index + 1))
        ]
        if halves:
            raise InputError(
                f"rows have {self.table.width} fields and the heading {len(heading)}: "
                "decimal commas look the same as the commas between fields here; "
                "export it again with semicolons, or with decimal points"
            )

    def device(self) -> str:
        """The lines above the rows that say which device wrote them."""
        lines = [
            line.text.strip(self.table.delimiter)
            for line in self.table.above
            if line not in self.headings and columns.is_device_line(line.text)
        ]
        return "; ".join(" ".join(line.split()) for line in lines)

    def source(self, device: str) -> str:
        """A fingerprint of the headings and the device; `` without headings."""
        if not self.headings:
            return ""
        parts = [line.text for line in self.headings] + [self.table.delimiter, device]
        return hashlib.sha256("\n".join(parts).encode()).hexdigest()[:32]


def named_column(labels: Sequence[str], index: int) -> str:
    """`column 2 'Date/Time'`."""
    number = f"column {index + 1}"
    label = labels[index] if index < len(labels) else ""
    return number if label in ("", number) else f"{number} {quoted(label)}"


def _may_name(label: str, texts: Sequence[str]) -> bool:
    """Whether a column says whose reading a row is: few words, again and again."""
    names = set(texts)
    is_few = len(names) <= _MOST_NAMES and 2 * len(names) <= len(texts) + 1
    if not columns.is_name(label) or not is_few:
        return False
    if all(name.isdecimal() for name in names):
        return not columns.is_temperature(label)
    return not any(is_number(name) for name in names)


def _headings(table: Table) -> tuple[Line, ...]:
    """The lines right above the rows that head the columns: one, or two with units."""
    above = table.above
    if not above:
        return ()
    last = above[-1]
    if len(above) > 1 and _is_wide(last, table) and columns.is_unit_line(last.fields):
        return above[-2:] if _may_head(above[-2], table) else (last,)
    return (last,) if _may_head(last, table) else ()


def _is_wide(line: Line, table: Table) -> bool:
    fields, width = len(line.fields), table.width
    return fields >= 2 and abs(fields - width) <= 1 + width // 2


def _may_head(line: Line, table: Table) -> bool:
    words = [field for field in line.fields if field]
    is_words = len(words) >= 2 and not all(is_number(word) for word in words)
    return is_words and _is_wide(line, table)


def _labels(table: Table, headings: Sequence[Line]) -> tuple[str, ...]:
    labels = []
    for index in range(table.width):
        parts = [
            line.fields[index].lstrip("#/ ")
            for line in headings
            if index < len(line.fields) and line.fields[index]
        ]
        labels.append(" ".join(parts) or f"column {index + 1}")
    return tuple(labels)
