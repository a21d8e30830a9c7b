"""Rows of a file: which are read, and what is said of the others."""

import math
from dataclasses import replace

import numpy as np
import pytest

from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.layout import Layout, TempColumn
from lidclock.templog.logger_csv.quick import QuickReader
from lidclock.templog.logger_csv.rows import RowReader
from lidclock.templog.logger_csv.text import Lines

LAYOUT = Layout(
    delimiter=",",
    width=3,
    first_row=2,
    time_index=0,
    temps=(TempColumn(1, "Temp", "C"),),
    headings=frozenset({"Time,Temp,Note"}),
)
READERS = pytest.mark.parametrize("kind", [RowReader, QuickReader])


def read(kind, *lines, layout=LAYOUT):
    findings = Findings()
    text = "\n".join(["Time,Temp,Note", *lines]) + "\n"
    rows = kind(layout, findings).read(Lines(1, text.encode()))
    return rows, [one.say() for one in findings.all()]


@READERS
def test_a_row_gives_line_moment_and_temperature(kind):
    rows, said = read(kind, "2026-10-26 00:00,4.5,", "2026-10-26 00:01,-4.25,x")

    assert rows.lines.tolist() == [2, 3]
    assert np.diff(rows.local_us).tolist() == [60_000_000]
    assert rows.temp_c[:, 0].tolist() == [4.5, -4.25]
    assert said == []


@READERS
@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("2026-10-26 00:00,###,", "line 2: '###' is no temperature"),
        ("2026-10-26 00:00,sensor fault,", "line 2: 'sensor fault' is no temperature"),
        ("2026-10-26 00:00,,Logged", "line 2: no temperature in the row"),
        ("2026-10-26 00:00,4,5,x", "line 2: 4 fields, not 3 as in other rows"),
        ("2026-10-26 00:00,4", "line 2: the line breaks off"),
        ("2026-10-26 00:00", "line 2: the line breaks off"),
        ("26:10:2026,4.5,", "line 2: '26:10:2026' is no time"),
        (",4.5,", "line 2: no time"),
        ("Max,4.5,", "line 2: no row: 'Max,4.5,'"),
        (
            "2026-10-26 00:00 CST,4.5,",
            "line 2: 'CST' is no name of this zone's time then",
        ),
        ("Time,Temp,Note", "line 2: the heading again"),
        ("Oct 32, 2026 00:00,4.5,", "line 2: 'Oct 32' is no time"),
    ],
)
def test_a_line_that_is_no_reading_is_named(kind, line, said):
    rows, told = read(kind, line)

    assert rows.lines.size == 0
    assert told == [said]


@READERS
@pytest.mark.parametrize("line", ["", "  ", ",,", '"","",""'])
def test_blank_lines_are_passed_over_in_silence(kind, line):
    rows, said = read(kind, line, "2026-10-26 00:00,4.5,")

    assert rows.lines.tolist() == [3]
    assert said == []


@READERS
def test_empty_fields_behind_the_row_do_not_matter(kind):
    rows, said = read(kind, "2026-10-26 00:00,4.5,,,", "2026-10-26 00:01,4.5,x")

    assert rows.lines.tolist() == [2, 3]
    assert said == []


@READERS
def test_a_row_short_of_its_note_is_a_row(kind):
    """Its temperature is not the last thing in it, so it cannot have been cut."""
    layout = Layout(",", 4, 2, 0, (TempColumn(1, "Temp", "C"),))

    rows, said = read(kind, "2026-10-26 00:00,4.5,x", layout=layout)

    assert rows.temp_c.tolist() == [[4.5]]
    assert said == []


@READERS
def test_a_quoted_note_may_go_on_over_lines(kind):
    rows, said = read(
        kind, '2026-10-26 00:00,4.5,"door', 'open"', "2026-10-26 00:01,4.6,"
    )

    assert rows.lines.tolist() == [2, 4]
    assert said == []


@READERS
def test_a_stray_quote_costs_no_more_than_its_line(kind):
    rows, said = read(kind, '2026-10-26 00:00,"4.5,', *["2026-10-26 00:01,4.6,"] * 30)

    assert rows.lines.size == 30
    assert len(said) == 1
    assert said[0].startswith("line 2:")


@READERS
def test_of_two_sensors_one_may_be_silent(kind):
    temps = (TempColumn(1, "A", "C"), TempColumn(2, "B", "F"))
    layout = Layout(",", 4, 2, 0, temps)

    rows, said = read(
        kind,
        "2026-10-26 00:00,4.5,,",
        "2026-10-26 00:01,4.5,ERR,",
        "2026-10-26 00:02,4.5,41,",
        layout=layout,
    )

    assert rows.temp_c[:, 0].tolist() == [4.5, 4.5, 4.5]
    assert [math.isnan(one) for one in rows.temp_c[:, 1]] == [True, True, False]
    assert rows.temp_c[2, 1] == 5.0
    assert said == ["line 3: 'ERR' is no temperature"]


@READERS
def test_date_and_time_of_day_may_stand_apart(kind):
    """5 October 2026 is day 20731 since 1970."""
    temps = (TempColumn(2, "T", "C"),)
    layout = Layout(",", 3, 2, 0, temps, date_index=1, kind="clock", order="dmy")

    rows, said = read(
        kind, "00:01,05/10/2026,4.5", "00:02Z,05/10/2026,4.5", layout=layout
    )

    assert (rows.local_us // 60_000_000).tolist() == [
        20731 * 1440 + 1,
        20731 * 1440 + 2,
    ]
    assert (rows.offset_us == 0).tolist() == [False, True]
    assert said == []


@READERS
def test_a_line_that_names_another_device_is_noticed(kind):
    devices = frozenset({"Serial no.: 1"})
    layout = replace(LAYOUT, devices=devices)

    rows, said = read(
        kind, "Serial no.: 1", "Serial no.: 2", "2026-10-26 00:01,4.6,", layout=layout
    )

    assert rows.lines.tolist() == [4]
    assert said == ["line 3: 'Serial no.: 2'", "line 2: no row: 'Serial no.: 1'"]


@READERS
def test_whole_numbers_may_be_followed_by_decimals_of_either_mark(kind):
    layout = replace(LAYOUT, delimiter=";", mark="")

    rows, said = read(
        kind, "2026-10-26 00:00;4;", "2026-10-26 00:01;4,5;", layout=layout
    )

    assert rows.temp_c.tolist() == [[4], [4.5]]
    assert said == []
