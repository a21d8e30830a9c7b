"""What kind of file it is, from its first lines; what they do not tell is asked.

Nothing is guessed silently: every choice comes with its reason, and where the lines
leave a choice open there is a question that names the option which answers it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lidclock.errors import InputError
from lidclock.templog.logger_csv import columns
from lidclock.templog.logger_csv.choice import Chooser, Wishes
from lidclock.templog.logger_csv.headings import Head
from lidclock.templog.logger_csv.layout import Layout, TempColumn
from lidclock.templog.logger_csv.numbers import decimal_mark, unit_in
from lidclock.templog.logger_csv.order import has_numerals

_UNIT_OPTION = "--unit"


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
    return _Guesser(Head.of(texts), wishes or Wishes()).guess()


def source_of(texts: Sequence[str]) -> str:
    """What is the same for files of one kind and device; `` if nothing tells it.

    InputError if no table of times and numbers is in the lines.
    """
    return Head.of(texts).source()


class _Guesser:
    """One table and one set of wishes."""

    def __init__(self, head: Head, wishes: Wishes) -> None:
        self.head = head
        self.table = head.table
        self.wishes = wishes
        self.questions: list[Question] = []

    def guess(self) -> Guess:
        chooser = Chooser(self.head, self.wishes)
        times = chooser.times()
        name_index = chooser.name_index(times)
        temps = chooser.temps([*times, name_index])
        self._check_width(temps)
        temp_columns, units_from = self._with_units(temps)
        kind = "date" if len(times) > 1 else chooser.kind(times[0])
        order, order_from = self._order(times[0], kind)
        table, head = self.table, self.head
        layout = Layout(
            delimiter=table.delimiter,
            width=table.width,
            first_row=table.rows[0].number,
            time_index=times[-1],
            temps=temp_columns,
            date_index=times[0] if len(times) > 1 else None,
            kind="clock" if len(times) > 1 else kind,
            order=order,
            mark=decimal_mark(text for index in temps for text in table.texts(index)),
            offset_us=self._offset(times),
            name_index=name_index,
            headings=frozenset(line.text for line in head.headings),
            devices=frozenset(line.text for line in head.device_lines()),
        )
        return Guess(
            layout,
            head.labels,
            tuple(chooser.notes),
            tuple(self.questions),
            units_from,
            order_from,
            self._zone_said(),
            head.device(),
            head.source(),
        )

    def _with_units(
        self, temps: list[int]
    ) -> tuple[tuple[TempColumn, ...], tuple[str, ...]]:
        found, reasons, missing = [], [], []
        for index in temps:
            unit, reason = self._unit(index)
            found.append(TempColumn(index, self.head.labels[index], unit))
            reasons.append(reason)
            if not unit:
                missing.append(self.head.named(index))
        if missing:
            text = f"no unit is given for {' and '.join(missing)}: °C or °F?"
            self.questions.append(Question(_UNIT_OPTION, text, ("C", "F")))
        return tuple(found), tuple(reasons)

    def _unit(self, index: int) -> tuple[str, str]:
        if columns.is_kelvin(self.head.labels[index]):
            raise InputError(
                f"{self.head.named(index)} is in kelvin, which is not read; export it "
                "in °C, or name another column with --temp"
            )
        if self.wishes.unit:
            return self.wishes.unit, self.wishes.reason
        label = columns.unit_of(self.head.label(index))
        values = columns.unit_of_values(self.table.texts(index))
        if label and values and label != values:
            raise InputError(
                f"{self.head.named(index)} is headed °{label}, but its values are in "
                f"°{values}: say which holds with --unit"
            )
        if label or values:
            return label or values, "by its heading" if label else "by its values"
        beside = self._unit_column()
        if beside:
            return beside, "by the unit beside it"
        above = columns.unit_of_preamble(
            line.text for line in self.table.above if line not in self.head.headings
        )
        return above, "by a line above" if above else ""

    def _unit_column(self) -> str:
        """The unit in a column of its own, where every row has the same.

        A bare letter is one only under a heading of units: it may stand for closed.
        """
        found = set()
        for index in range(self.table.width):
            texts = set(self.table.texts(index))
            is_headed = columns.is_unit_heading(self.head.label(index))
            if len(texts) == 1 and (is_headed or len(*texts) > 1):
                found |= {unit_in(*texts)}
        found.discard("")
        return found.pop() if len(found) == 1 else ""

    def _order(self, index: int, kind: str) -> tuple[str, str]:
        """The order of numerals and its reason; both empty while the rows must tell.

        A year of four digits in front leaves nothing open, nor do months by name.
        """
        if not any(has_numerals(text, kind) for text in self.table.texts(index)):
            return "ymd", "plain"
        if self.wishes.order:
            return self.wishes.order, self.wishes.reason
        said = columns.order_in(" ".join(line.text for line in self.head.headings))
        return said, "by the heading" if said else ""

    def _offset(self, times: list[int]) -> int | None:
        if not self.head.headings:
            return None
        found = [columns.offset_in(self.head.labels[index]) for index in times]
        return next((offset for offset in found if offset is not None), None)

    def _zone_said(self) -> str:
        said = [columns.zone_line(line.text) for line in self.table.above]
        return next((one for one in said if one), "")

    def _check_width(self, temps: list[int]) -> None:
        """Refuse decimal commas that also part the fields: they cannot be told."""
        if self.table.delimiter != "," or not self.head.headings or self.wishes.temps:
            return
        heading = [field for field in self.head.headings[-1].fields if field]
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
