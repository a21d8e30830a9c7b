"""Readings written by any logger are read back exactly; garbage invents none."""

from __future__ import annotations

import random
import re
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from unittest import mock

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from lidclock.domain.readings import POWER_ON_C
from lidclock.errors import InputError
from lidclock.templog.logger_csv import quick
from lidclock.templog.logger_csv.choice import Wishes
from lidclock.templog.logger_csv.fields import decoded
from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.guess import guess
from lidclock.templog.logger_csv.quick import QuickReader
from lidclock.templog.logger_csv.reader import Clock, FileReader
from lidclock.templog.logger_csv.rows import RowReader
from lidclock.templog.logger_csv.text import blocks
from logger_files import dialects, utc_us, write

NOW = datetime(2030, 1, 1)
DEGREES = st.integers(-400, 900).map(lambda tenths: f"{tenths / 10:.1f}")
HUNDREDTHS = st.integers(-4000, 9000).map(lambda h: f"{h / 100:.2f}")
WHOLE = st.integers(-40, 84).map(str)


@st.composite
def series(draw):
    """Moments on whole minutes at an even step, with a temperature each."""
    start = draw(
        st.datetimes(datetime(2021, 1, 1), datetime(2028, 12, 1)).map(
            lambda moment: moment.replace(second=0, microsecond=0)
        )
    )
    step = timedelta(minutes=draw(st.sampled_from([1, 5, 15, 60, 241, 1440])))
    kind = draw(st.sampled_from([DEGREES, HUNDREDTHS, WHOLE]))
    temps = draw(st.lists(kind, min_size=3, max_size=40))
    return [start + step * place for place in range(len(temps))], temps


def read_file(data, wishes=None, *, zone=UTC, now=NOW, batch_rows=0):
    """Everything that a file gives: parts, findings."""
    findings = Findings()
    lines = list(blocks([data], findings))
    texts = [decoded(line) for line in lines[0].split()[:200]]
    found = guess(texts, wishes)
    assert found.questions == ()
    reader = FileReader(
        found.layout, Clock(zone, utc_us(now)), findings, batch_rows=batch_rows
    )
    parts = [part for batch in reader.batches(lines) for part in batch]
    return parts, findings


def in_celsius(text, unit):
    degrees = Fraction(text)
    return float(degrees if unit == "C" else round((degrees - 32) * 5 / 9, 4))


@given(series(), dialects())
def test_a_series_in_any_dialect_is_read_back_exactly(measured, dialect):
    moments, temps = measured
    expected = [in_celsius(text, dialect.unit) for text in temps]
    # What a sensor shows before it measures is left out and told: a test of its own.
    assume(POWER_ON_C not in expected)
    data = write(moments, temps, dialect)
    parts, findings = read_file(data, Wishes(order=dialect.order))

    assert [one for one in findings.all() if one.is_refusal] == []
    assert len(parts) == 1
    assert parts[0].series.at_us.tolist() == [utc_us(one) for one in moments]
    assert parts[0].series.temp_c.tolist() == expected


@given(series(), dialects(), st.integers(1, 7))
def test_how_a_file_is_cut_into_blocks_changes_nothing(measured, dialect, size):
    moments, temps = measured
    dialect = replace(dialect, newest_first=False)
    data = write(moments, temps, dialect)
    wishes = Wishes(order=dialect.order)
    whole, _ = read_file(data, wishes)
    findings = Findings()
    chunks = [data[at : at + 5 * size] for at in range(0, len(data), 5 * size)]
    lines = blocks(chunks, findings, size=64 * size)
    layout = guess([decoded(line) for line in cleaned_lines(data)], wishes).layout
    reader = FileReader(layout, Clock(UTC, utc_us(NOW)), findings, batch_rows=size)
    parts = [part.series for batch in reader.batches(lines) for part in batch]

    expected = whole[0].series
    for name in ("lines", "at_us", "raw", "temp_c"):
        pieces = np.concatenate([getattr(part, name) for part in parts])
        assert pieces.tolist() == getattr(expected, name).tolist()


def cleaned_lines(data):
    return [
        line for lines in blocks([data], Findings()) for line in lines.split()[:200]
    ]


ODD_CELLS = (
    *("###", "ERR", "-999", "85.0", "-127", "", "4,5", "1,234.5", " 4.5", "4.5 °C"),
    *("4.5F", '"4.5"', '"', "4.", ".5", "+4", "--4", "4.5.6", "1e1", "٤", "4\u00a0000"),
    *("'4", '"4,5"', '"a""b"', "12345678901234.5", "0.12345678901234567"),
)
ODD_TIMES = (
    *("", "Max", "2026-13-01 00:00:00", "2026-02-30 00:00:00", "2026-01-01 24:00:00"),
    *("2026-01-01 25:00:00", "2026-01-01", "2026-01-01 00:00", "1/2/2026 1:02:03 pm"),
    *("2026-01-01T00:00:00Z", "2026-01-01 00:00:00+02:00", '"2026-01-01 00:00:00"'),
    *("2026-01-01 00:00:00 EST", "26/10/2026 00:00", "2026-01-01 00:00:00.5", "x"),
    *("2026-01-01 00:00:00+99:00", "2199-12-31 23:59:59", "1/1/1970 0:00:00", "°"),
    *("3 Mai 2026 04:05", "Mär 3, 2026 4:05 AM", "13/13/2026 13:13 AM", "01-02-03 4:5"),
)
RAGGED = st.integers(0, 2**32).map(lambda seed: ragged_file(random.Random(seed)))


def ragged_file(chance):
    """Rows of two sensors with faults in any cell; most are sound."""
    rows = []
    for place in range(chance.randint(1, 60)):
        time = f"2026-01-{1 + place // 24:02} {place % 24:02}:00:00"
        temp = f"{chance.uniform(-20, 99):.{chance.randint(0, 3)}f}"
        cells = [time, temp, f"Probe {chance.randint(1, 2)}"]
        if chance.random() < 0.1:
            cells[0] = f'"{time}"'
        if chance.random() < 0.15:
            cells[0] = chance.choice(ODD_TIMES)
        if chance.random() < 0.15:
            cells[1] = chance.choice(ODD_CELLS)
        if chance.random() < 0.1:
            cells[2] = chance.choice(["", "Probe 3", '"Probe 1"', " Probe 2", "Kühl"])
        if chance.random() < 0.05:
            cells = cells[: chance.randint(0, 2)] + [""] * chance.randint(0, 2)
        rows.append(",".join(cells))
    return "\n".join(["Time,Temp C,Probe", *rows]).encode() + b"\n"


@given(RAGGED, st.sampled_from(["", "dmy", "mdy"]), st.sampled_from("CF"))
def test_the_quick_reader_reads_and_says_what_the_plain_one_does(data, order, unit):
    layout = guess(
        ["Time,Temp C,Probe", "2026-01-01 00:00:00,4.5,Probe 1"] * 3,
        Wishes(order=order, unit=unit),
    ).layout
    layout = replace(layout, first_row=2, order=order or "ymd")
    told = []
    for kind in (RowReader, QuickReader):
        findings = Findings()
        reader = kind(layout, findings, lambda _, word: -5 if word == "EST" else None)
        with mock.patch.object(quick, "MOST_ODD", 1.0):
            rows = [reader.read(lines) for lines in blocks([data], findings)]
        names = list(reader.names)
        arrays = [
            [
                *(part.lines.tolist(), part.local_us.tolist(), part.offset_us.tolist()),
                *(part.raw.tolist(), part.temp_c.tolist()),
                [names[number] for number in part.names],
            ]
            for part in rows
        ]
        told.append((str(arrays), findings.all()))

    assert layout.name_index == 2
    assert told[0] == told[1]


@st.composite
def damaged_files(draw):
    """A file of any dialect with some stretches of bytes lost, doubled or replaced."""
    moments, temps = draw(series())
    data = write(moments, temps, draw(dialects()))
    for _ in range(draw(st.integers(0, 6))):
        start = draw(st.integers(0, len(data)))
        end = start + draw(st.integers(0, 20))
        piece = draw(st.one_of(st.just(data[start:end] * 2), st.binary(max_size=20)))
        data = data[:start] + piece + data[end:]
    return data


@given(st.one_of(damaged_files(), st.binary(max_size=300)))
def test_damage_never_crashes_and_never_invents_a_reading(data):
    findings = Findings()
    lines = list(blocks([data], findings))
    texts = [decoded(line) for some in lines for line in some.split()]
    try:
        layout = guess(texts[:200], Wishes(unit="C", order="dmy")).layout
    except InputError:
        return
    layout = replace(layout, order=layout.order or "dmy")
    reader = FileReader(layout, Clock(UTC, utc_us(NOW)), findings)
    for part in (part for batch in reader.batches(lines) for part in batch):
        for line, raw in zip(part.series.lines, part.series.raw, strict=True):
            marks = layout.mark or ".,"
            assert any(raw in numbers_in(texts[line - 1], mark) for mark in marks)
        assert (np.diff(part.series.at_us) > 0).all()


def numbers_in(text, mark):
    """Every number that stretches of the text can be read as."""
    plain = re.sub(r"(?<=\d)[ \u00a0\u2009\u202f'’,.](?=\d{3})", "", text)
    found = set()
    for one in (text, plain):
        for said in re.findall(rf"[-−+]?\s*(?:\d+[{mark}]?\d*|[{mark}]\d+)", one):
            said = re.sub(r"\s", "", said).replace("−", "-").replace(mark, ".")
            found.add(float(said))
    return found
