"""Readings as Parquet, with the head in the file's metadata; needs pyarrow."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

from lidclock.app.temp_files import Head, Rows, head_json, read_head
from lidclock.errors import InputError, RefusedError, StoreError
from lidclock.store.reading_values import Block, Mark, Readings

_KEY = b"lidclock"
_COLUMNS = ("sensor_id", "at", "temp_c", "recorded_at", "recorded_by")
_MOST_ROWS = 500_000
_UNFINISHED = ".unfinished"


def _arrow() -> tuple[Any, Any]:
    """The library and its Parquet half; RefusedError says how to install it."""
    try:
        import pyarrow
        import pyarrow.parquet
    except ImportError as error:
        raise RefusedError(
            "Parquet needs pyarrow: install it with `pip install 'lidclock[fast]'`, or "
            "name a .csv file"
        ) from error
    return pyarrow, pyarrow.parquet


def write(path: Path, head: Head, rows: Iterable[Rows]) -> int:
    """Write head and rows, whole or not at all; how many readings."""
    arrow, parquet = _arrow()
    schema = _schema(arrow).with_metadata({_KEY: head_json(head)})
    names = {one.sensor.id: one.sensor.name for one in head.sensors}
    unfinished = path.with_name(path.name + _UNFINISHED)
    count = 0
    try:
        with unfinished.open("wb") as file:
            with parquet.ParquetWriter(file, schema, compression="zstd") as writer:
                for part in _gathered(rows):
                    table = _table(arrow, schema, part, head, names)
                    writer.write_table(table)
                    count += table.num_rows
            file.flush()
            os.fsync(file.fileno())
        unfinished.replace(path)
    except OSError as error:
        raise StoreError(f"cannot write {path}: {error.strerror or error}") from error
    finally:
        unfinished.unlink(missing_ok=True)
    return count


def _schema(arrow: Any) -> Any:
    """`sensor` repeats the name for people; the id is what counts."""
    text = arrow.dictionary(arrow.int32(), arrow.string())
    return arrow.schema(
        [
            ("sensor_id", text),
            ("sensor", text),
            ("at", arrow.timestamp("us", tz="UTC")),
            ("temp_c", arrow.float64()),
            ("recorded_at", arrow.timestamp("us", tz="UTC")),
            ("recorded_by", arrow.int32()),
        ]
    )


def _gathered(rows: Iterable[Rows]) -> Iterator[list[Rows]]:
    """Blocks put together until they make a table worth its while."""
    waiting: list[Rows] = []
    count = 0
    for one in rows:
        waiting.append(one)
        count += one.block.readings.times_us.size
        if count >= _MOST_ROWS:
            yield waiting
            waiting, count = [], 0
    if waiting:
        yield waiting


def _table(
    arrow: Any, schema: Any, part: list[Rows], head: Head, names: dict[str, str]
) -> Any:
    counts = [one.block.readings.times_us.size for one in part]
    marks = [one.block.mark for one in part]
    ids = sorted({one.sensor_id for one in part})
    number = np.repeat([ids.index(one.sensor_id) for one in part], counts)
    indices = arrow.array(number.astype(np.int32))
    people = [head.people.index((one.who, one.device)) for one in marks]
    return arrow.table(
        [
            arrow.DictionaryArray.from_arrays(indices, ids),
            arrow.DictionaryArray.from_arrays(indices, [names[one] for one in ids]),
            np.concatenate([one.block.readings.times_us for one in part]),
            np.concatenate([one.block.readings.temps_c for one in part]),
            np.repeat(np.array([x.recorded_us for x in marks]), counts),
            np.repeat(np.array(people, dtype=np.int32), counts),
        ],
        names=schema.names,
    ).cast(schema)


def read(path: Path) -> tuple[Head, Iterator[Rows]]:
    """The head, and the rows as they are read; InputError if the file is not ours."""
    arrow, parquet = _arrow()
    try:
        file = parquet.ParquetFile(path)
    except OSError as error:
        raise InputError(f"cannot read {path}: {error.strerror or error}") from error
    except arrow.ArrowException as error:
        raise InputError(f"{path.name} is no Parquet file: {error}") from error
    text = (file.schema_arrow.metadata or {}).get(_KEY)
    if text is None or not {*_COLUMNS} <= {*file.schema_arrow.names}:
        raise InputError(f"{path.name} is no export of readings by lidclock")
    head = read_head(text.decode("utf-8"), path.name)
    return head, _rows(file, arrow, head, path.name)


def _rows(file: Any, arrow: Any, head: Head, name: str) -> Iterator[Rows]:
    for batch in file.iter_batches(batch_size=_MOST_ROWS, columns=list(_COLUMNS)):
        if any(column.null_count for column in batch.columns):
            raise InputError(
                f"{name} has rows with nothing in them; it was changed after its export"
            )
        sensor = batch.column("sensor_id")
        ids = sensor.dictionary.to_pylist()
        number = sensor.indices.to_numpy(zero_copy_only=False)
        at, temps, recorded, by = (
            batch.column(column).cast(kind).to_numpy(zero_copy_only=False)
            for column, kind in zip(_COLUMNS[1:], _plain(arrow), strict=True)
        )
        if (
            not np.isfinite(temps).all()
            or not np.isin(by, range(len(head.people))).all()
        ):
            raise InputError(f"{name} has a row that means nothing; it was changed")
        changes = (number[1:] != number[:-1]) | (recorded[1:] != recorded[:-1])
        edges = np.flatnonzero(changes | (by[1:] != by[:-1])) + 1
        ends = [*edges.tolist(), number.size]
        for first, end in zip([0, *ends[:-1]], ends, strict=True):
            mark = Mark(int(recorded[first]), *head.people[int(by[first])])
            readings = Readings(at[first:end], temps[first:end])
            yield Rows(ids[int(number[first])], Block(readings, mark))


def _plain(arrow: Any) -> tuple[Any, ...]:
    """Times as whole microseconds, and plain numbers."""
    return arrow.int64(), arrow.float64(), arrow.int64(), arrow.int32()
