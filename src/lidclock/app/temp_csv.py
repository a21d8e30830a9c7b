"""Readings as CSV: a head of JSON behind `#`, then ids, times and numbers.

No name and no handle stands in a cell, so a spreadsheet finds no formula in one.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from datetime import datetime
from itertools import groupby, islice
from pathlib import Path
from typing import TextIO

import numpy as np

from lidclock.app.files import write_whole
from lidclock.app.temp_files import Head, Rows, head_json, read_head
from lidclock.errors import InputError
from lidclock.store.reading_values import Block, Mark, Readings
from lidclock.templog.series import instant, micros

COLUMNS = ("sensor_id", "at", "temp_c", "recorded_at", "recorded_by")
_SECOND_US = 1_000_000
_MOST_ROWS = 500_000
_Row = tuple[str, int, float, str, str]


def write(path: Path, head: Head, rows: Iterable[Rows]) -> int:
    """Write head and rows, whole or not at all; how many readings."""
    count = 0

    def parts() -> Iterator[bytes]:
        nonlocal count
        yield f"# {head_json(head)}\n{','.join(COLUMNS)}\n".encode("ascii")
        for one in rows:
            count += one.block.readings.times_us.size
            yield "".join(_lines_of(one, head)).encode("ascii")

    write_whole(path, parts())
    return count


def _lines_of(one: Rows, head: Head) -> Iterator[str]:
    readings, mark = one.block.readings, one.block.mark
    by = head.people.index((mark.who, mark.device))
    recorded = instant(mark.recorded_us).isoformat().replace("+00:00", "Z")
    unit = "us" if (readings.times_us % _SECOND_US).any() else "s"
    times = readings.times_us.astype("datetime64[us]").astype(f"datetime64[{unit}]")
    texts = np.datetime_as_string(times).tolist()
    for at, temp_c in zip(texts, readings.temps_c.tolist(), strict=True):
        yield f"{one.sensor_id},{at}Z,{temp_c!r},{recorded},{by}\n"


def read(path: Path) -> tuple[Head, Iterator[Rows]]:
    """The head, and the rows as they are read; InputError names the line."""
    try:
        file = path.open(encoding="utf-8", newline="")
    except OSError as error:
        raise InputError(f"cannot read {path}: {error.strerror}") from error
    try:
        first = file.readline()
        if not first.startswith("# {"):
            raise InputError(
                f"{path.name} does not begin with the head of an export of readings by "
                "lidclock"
            )
        head = read_head(first.removeprefix("# "), path.name)
        if tuple(file.readline().strip().split(",")) != COLUMNS:
            raise InputError(f"{path.name} line 2: expected {','.join(COLUMNS)}")
    except UnicodeDecodeError as error:
        file.close()
        raise InputError(f"{path.name} is not UTF-8 text") from error
    except BaseException:
        file.close()
        raise
    return head, _rows(file, path.name, head)


def _rows(file: TextIO, name: str, head: Head) -> Iterator[Rows]:
    """Rows that follow each other and were recorded together, in handy numbers."""
    with file:
        read = (_row(row, name, n) for n, row in enumerate(csv.reader(file), start=3))
        for (sensor_id, recorded, by), group in groupby(
            read, key=lambda row: (row[0], row[3], row[4])
        ):
            mark = _mark(recorded, by, head, name)
            while part := list(islice(group, _MOST_ROWS)):
                _, times, temps, *_ = zip(*part, strict=True)
                readings = Readings(np.array(times, dtype=np.int64), np.array(temps))
                yield Rows(sensor_id, Block(readings, mark))


def _row(row: list[str], name: str, number: int) -> _Row:
    try:
        sensor_id, at, temp_c, recorded, by = row
        degrees = float(temp_c)
        if not np.isfinite(degrees):
            raise ValueError(f"{temp_c!r} is no temperature")
        return sensor_id, micros(datetime.fromisoformat(at)), degrees, recorded, by
    except (ValueError, TypeError) as error:
        raise InputError(
            f"{name} line {number}: {error}; the file was changed after its export"
        ) from error


def _mark(recorded: str, by: str, head: Head, name: str) -> Mark:
    try:
        if int(by) < 0:
            raise IndexError(by)
        who, device = head.people[int(by)]
        return Mark(micros(datetime.fromisoformat(recorded)), who, device)
    except (ValueError, TypeError, IndexError) as error:
        raise InputError(
            f"{name}: a row was recorded at {recorded!r} by {by!r}, which means nothing"
        ) from error
