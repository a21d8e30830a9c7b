"""Where times and temperatures stand in one file, and how they are written."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.templog.logger_csv.numbers import Number, read_number
from lidclock.templog.logger_csv.times import Stamp, read_stamp


@dataclass(frozen=True, slots=True)
class TempColumn:
    """A column of temperatures; `index` counts from 0."""

    index: int
    label: str
    unit: str


@dataclass(frozen=True, slots=True)
class Layout:
    """How the rows of one file are to be read.

    `time_index` is that of the moment, or of the hour where `date_index` has the day.
    `kind` is the kind of text in it (`times.FORMS`); `mark` is the decimal mark, `` if
    each number has its own. `offset_us` holds for every row that gives no offset
    itself; None means local time of the zone. `name_index` is the column that says
    whose reading it is. `headings` are lines that are no rows wherever they stand
    again, `devices` those that say which device wrote the rows.
    """

    delimiter: str
    width: int
    first_row: int
    time_index: int
    temps: tuple[TempColumn, ...]
    date_index: int | None = None
    kind: str = "moment"
    order: str = ""
    mark: str = "."
    offset_us: int | None = None
    name_index: int | None = None
    headings: frozenset[str] = frozenset()
    devices: frozenset[str] = frozenset()

    @property
    def times(self) -> tuple[tuple[int, str], ...]:
        """Index and kind of every column that a moment is read from."""
        if self.date_index is None:
            return ((self.time_index, self.kind),)
        return ((self.date_index, "date"), (self.time_index, "clock"))

    @property
    def needed(self) -> int:
        """How many fields a row must have at the least."""
        wanted = [index for index, _ in self.times]
        wanted += [] if self.name_index is None else [self.name_index]
        return 1 + max(wanted + [column.index for column in self.temps])

    def stamp(self, fields: list[str]) -> Stamp | None:
        """The moment that a row says, complete, or None."""
        index, kind = self.times[-1]
        if self.date_index is None:
            stamp = read_stamp(fields[index], kind, self.order)
        else:
            day = read_stamp(fields[self.date_index], "date", self.order)
            clock = read_stamp(fields[index], "clock")
            if day is None or clock is None:
                return None
            stamp = clock._replace(days=day.days)
        return None if stamp is None or stamp.local_us is None else stamp

    def number(self, text: str) -> Number | None:
        """The number in the field of a temperature."""
        return read_number(text, self.mark)
