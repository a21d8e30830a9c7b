"""A probe's trace: minutes or moments, °C or °F, as CSV or as one JSON document."""

from __future__ import annotations

import csv
import io
import re
import statistics
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import numpy as np

from lidclock.app.documents import parsed
from lidclock.app.growth_question import WORST, GrowthReader
from lidclock.errors import InputError
from lidclock.kinetics.heating import Heating, heating_of
from lidclock.templog.gaps import GAP_FACTOR
from lidclock.templog.logger_csv.numbers import Number, decimal_mark, read_number

if TYPE_CHECKING:
    from lidclock.kinetics.rates import Floats
    from lidclock.templog.logger_csv.reader import Part

UNITS = ("C", "F")
_PER_MINUTE = {"h": 60.0, "min": 1.0, "s": 1 / 60}
_TIME = re.compile(
    r"^\W*(?:elapsed|time|duration)?[\s_(\[]*"
    r"(?P<unit>hours?|hrs?|h|minutes?|mins?|m|seconds?|secs?|s)\W*$",
    re.IGNORECASE,
)
_FAHRENHEIT = re.compile(r"°\s?f\b|℉|fahrenheit|_f$|\(f\)|^f$", re.IGNORECASE)
_CELSIUS = re.compile(r"°\s?c\b|℃|celsius|_c$|\(c\)|^c$", re.IGNORECASE)
# A trace of hours and readings of seconds has thousands; what is beyond is no probe's.
_MOST_ROWS = 1_000_000
_BOUNDS_C = (-100.0, 300.0)
_MINUTES = (-1e6, 1e6)
_US_PER_MINUTE = 60_000_000
_KEYS = frozenset(
    {"profile", "organism", "z_c", "reference_c", "d_min", "longest_gap_min"}
)


@dataclass(frozen=True, slots=True)
class Trace:
    """What was read, how it was read, and which figures were given with it."""

    heating: Heating
    notes: tuple[str, ...]
    organism: str = ""
    z_c: float | None = None
    reference_c: float | None = None
    d_min: float | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """How a file is to be read, where it does not tell: unit, zone, order, column."""

    zone: ZoneInfo
    now: datetime
    unit: str = ""
    order: str = ""
    temp: str = ""


def read_trace(text: str, how: Reading) -> Trace:
    """The trace in a file's text; InputError says what is wrong and what to do."""
    bare = text.removeprefix("\ufeff").lstrip()
    if not bare:
        raise InputError("the file is empty: has the probe been read out?")
    if bare[0] in "{[":
        return _from_json(text)
    elapsed = _elapsed_rows(bare, how)
    if elapsed is not None:
        return _of_points(*elapsed)
    return _of_points(*_logged(text, how))


def _of_points(minutes: list[float], temps_c: list[float], note: str) -> Trace:
    """A trace of many readings: three paces without one are a gap."""
    if len(minutes) < 2:
        raise InputError(f"{len(minutes)} readings tell no time; give at least two")
    pace = statistics.median(later - earlier for earlier, later in pairwise(minutes))
    longest = pace * GAP_FACTOR
    heating = heating_of(np.array(minutes), np.array(temps_c), longest)
    notes = [note]
    gaps = int(heating.is_gap.sum())
    if gaps:
        notes.append(
            f"{gaps} gap{'s' * (gaps > 1)}: longer than {longest:.3g} min without a "
            "reading; nothing is credited there"
        )
    return Trace(heating, tuple(notes))


def _from_json(text: str) -> Trace:
    document = parsed(text)
    reader = GrowthReader({})
    reader.refuse_strays("document", document, _KEYS)
    points = reader.profile(document.get("profile"), "minutes", _MINUTES, _BOUNDS_C)
    numbers = {
        key: None
        if document.get(key) is None
        else reader.number(key, document[key], bounds)
        for key, bounds in (
            ("z_c", (0.1, 100.0)),
            ("reference_c", _BOUNDS_C),
            ("d_min", (1e-9, 1e6)),
            ("longest_gap_min", (1e-9, 1e6)),
        )
    }
    organism = _organism(reader, document, numbers)
    reader.end()
    longest = numbers.pop("longest_gap_min")
    heating = heating_of(
        np.array([at for at, _ in points]),
        np.array([temp_c for _, temp_c in points]),
        np.inf if longest is None else longest,
    )
    return Trace(heating, ("straight between the points given",), organism, **numbers)


def _organism(
    reader: GrowthReader, document: Any, numbers: dict[str, float | None]
) -> str:
    """The table that is named; own figures exclude one, and need each other."""
    organism = document.get("organism")
    given = [key for key in ("z_c", "reference_c", "d_min") if key in document]
    if organism is not None and not isinstance(organism, str):
        reader.fault("organism", "write the id of a table")
        return ""
    if organism and given:
        reader.fault("document", "give organism or z_c and reference_c, not both")
    if given and (numbers["z_c"] is None or numbers["reference_c"] is None):
        reader.fault("document", "z_c and reference_c belong together")
    return "" if organism in (None, WORST) else organism


def _elapsed_rows(
    text: str, how: Reading
) -> tuple[list[float], list[float], str] | None:
    """Minutes and °C of a file whose first column counts hours, minutes or seconds.

    None where the first line has no such heading: then it is a logger's file.
    """
    head = text.splitlines()[0]
    mark = next((x for x in (";", "\t", ",") if x in head), ",")
    rows = csv.reader(io.StringIO(text), delimiter=mark)
    headings = [one.strip() for one in next(rows)]
    match = _TIME.match(headings[0])
    if match is None or len(headings) < 2:
        return None
    column = _column(headings, how)
    unit = _unit(headings[column], how)
    scale = _PER_MINUTE[_short(match["unit"].casefold())]
    kept = [(n, row) for n, row in enumerate(rows, start=2) if any(map(str.strip, row))]
    if len(kept) > _MOST_ROWS:
        raise InputError(f"more than {_MOST_ROWS} rows; take a part of it")
    point = decimal_mark([x for _, row in kept[:200] for x in row[: column + 1]]) or "."
    minutes: list[float] = []
    temps_c: list[float] = []
    for number, row in kept:
        at = _number(row, 0, number, point).value
        temp_c = _number(row, column, number, point).celsius(unit)
        if minutes and at * scale <= minutes[-1]:
            raise InputError(
                f"line {number}: {row[0].strip()} does not come after the line before; "
                "sort the rows, and leave one where two share a time"
            )
        minutes.append(at * scale)
        temps_c.append(_checked(temp_c, number))
    note = f"{headings[0]} and {headings[column]}, read as °{unit}"
    return minutes, temps_c, note


def _short(unit: str) -> str:
    return "h" if unit[0] == "h" else "s" if unit[0] == "s" else "min"


def _column(headings: list[str], how: Reading) -> int:
    if how.temp:
        for index, heading in enumerate(headings):
            if how.temp.casefold() in (heading.casefold(), str(index + 1)):
                return index
        raise InputError(f"no column {how.temp!r}; there are {', '.join(headings[1:])}")
    if len(headings) == 2:
        return 1
    said = [
        index
        for index, heading in enumerate(headings)
        if index and (_FAHRENHEIT.search(heading) or _CELSIUS.search(heading))
    ]
    if len(said) == 1:
        return said[0]
    raise InputError(
        f"several columns may be the probe's: {', '.join(headings[1:])}; "
        "name one with --temp"
    )


def _unit(heading: str, how: Reading) -> str:
    if how.unit:
        return how.unit
    for unit, pattern in (("F", _FAHRENHEIT), ("C", _CELSIUS)):
        if pattern.search(heading):
            return unit
    raise InputError(f"{heading!r} does not say whether it is °C or °F: say --unit")


def _number(row: list[str], index: int, line: int, mark: str) -> Number:
    found = read_number(row[index], mark) if index < len(row) else None
    if found is None:
        raise InputError(
            f"line {line}: no number in column {index + 1}; mend or cut it"
        )
    return found


def _checked(temp_c: float, line: int) -> float:
    low, high = _BOUNDS_C
    if not low <= temp_c <= high:
        raise InputError(
            f"line {line}: {temp_c:g} °C lies outside {low:g} to {high:g} °C; "
            "is it the other unit?"
        )
    return temp_c


def _logged(text: str, how: Reading) -> tuple[list[float], list[float], str]:
    """Minutes since its first reading, and °C, of a logger's file with moments."""
    part, unit = _part(text, how)
    at_us = part.series.at_us
    minutes: Floats = (at_us - at_us[0]) / _US_PER_MINUTE
    label = part.name or unit
    return minutes.tolist(), part.series.temp_c.tolist(), f"moments, and {label}"


def _part(text: str, how: Reading) -> tuple[Part, str]:
    from lidclock.templog.logger_csv.choice import Wishes
    from lidclock.templog.logger_csv.findings import Findings
    from lidclock.templog.logger_csv.guess import guess
    from lidclock.templog.logger_csv.order import OrderEvidence
    from lidclock.templog.logger_csv.reader import Clock, FileReader
    from lidclock.templog.logger_csv.table import HEAD_LINES
    from lidclock.templog.logger_csv.text import blocks
    from lidclock.templog.series import micros

    temps = (how.temp,) if how.temp else ()
    wishes = Wishes(temps=temps, unit=how.unit, order=how.order)
    found = guess(text.splitlines()[:HEAD_LINES], wishes)
    if found.questions:
        raise InputError(
            "; ".join(f"{one.text} (say {one.option})" for one in found.questions)
        )
    raw, layout = text.encode("utf-8"), found.layout
    if found.needs_order:
        from dataclasses import replace

        settled = OrderEvidence(layout).read(blocks([raw], Findings()))
        if settled is None:
            raise InputError(
                "no row tells days from months: say --order dmy, mdy or ymd"
            )
        layout = replace(layout, order=settled.order)
    reader = FileReader(layout, Clock(how.zone, micros(how.now)))
    parts = [
        part
        for batch in reader.batches(blocks([raw], reader.findings))
        for part in batch
    ]
    if not parts:
        said = "; ".join(one.say() for one in reader.findings.all()[:3])
        raise InputError(f"no reading that can be used: {said or 'no rows'}")
    if len(parts) > 1:
        names = [layout.temps[part.column].label or part.name for part in parts]
        raise InputError(
            f"several temperatures: {', '.join(names)}; name one with --temp"
        )
    column = layout.temps[parts[0].column]
    return parts[0], f"{column.label} in °{column.unit}".strip()
