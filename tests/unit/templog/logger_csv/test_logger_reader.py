"""A whole file, block after block."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from lidclock.templog.logger_csv.findings import Findings
from lidclock.templog.logger_csv.guess import guess
from lidclock.templog.logger_csv.reader import Clock, FileReader
from lidclock.templog.logger_csv.survey import spans
from lidclock.templog.logger_csv.text import blocks
from lidclock.templog.logger_csv.words import say_moment, say_step

NOW_US = int(datetime(2026, 11, 2, tzinfo=UTC).timestamp()) * 1_000_000
NEW_YORK = ZoneInfo("America/New_York")


def reader_of(text, *, shift_us=0, batch_rows=1000):
    layout = guess(text.split("\n")).layout
    clock = Clock(NEW_YORK, NOW_US, shift_us)
    return FileReader(layout, clock, batch_rows=batch_rows)


def read(text, **more):
    reader = reader_of(text, **more)
    pieces = [line.encode() for line in text.splitlines(keepends=True)]
    lines = blocks(pieces, Findings(), size=16)
    return list(reader.batches(lines)), reader


def test_local_times_become_instants_and_the_shift_is_added():
    text = "Time,T °C\n2026-10-26 00:00,4.5\n2026-10-26 00:01,4.6\n"

    batches, _ = read(text, shift_us=3_600_000_000)

    at_us = batches[0][0].series.at_us
    assert say_moment(int(at_us[0]), NEW_YORK) == "Mon 26 Oct 2026 01:00"


def test_names_and_columns_part_the_sensors():
    text = "Time,Probe,A °C,B °C\n" + "".join(
        f"2026-10-26 00:0{n},{name},{n},{n + 10}\n" for n, name in enumerate("yxyx")
    )

    batches, _ = read(text)
    found = {(one.name, one.column): one.series.temp_c.tolist() for one in batches[0]}

    assert found == {
        ("x", 0): [1, 3],
        ("x", 1): [11, 13],
        ("y", 0): [0, 2],
        ("y", 1): [10, 12],
    }


def test_a_span_sums_up_every_batch():
    """1,000 minutes are 16 h 40 min; the file is longer than the first look."""
    text = "Time,T °C\n" + "".join(
        f"2026-10-26 {n // 60:02}:{n % 60:02},{n % 90}\n" for n in range(1000)
    )

    batches, _ = read(text, batch_rows=3)
    (span,) = spans(batches)

    assert len(batches) > 100
    assert (span.count, span.coldest_c, span.warmest_c) == (1000, 0, 89)
    assert say_step(span.step_us) == "every minute"
    assert say_moment(span.last_us, NEW_YORK) == "Mon 26 Oct 2026 16:39"


def test_years_that_cannot_be_are_left_out_and_told():
    text = "Time,T °C\n2026-10-26 00:00,1\n2106-10-26 00:00,2\n1970-01-01 00:00,3\n"

    batches, reader = read(text)

    assert batches[0][0].series.temp_c.tolist() == [1]
    assert [one.kind for one in reader.findings.all()] == ["future", "too-old"]


def test_a_clock_of_twelve_hours_without_halves_is_noticed():
    hours = [12, *range(1, 12)] * 2
    text = "Time,T °C\n" + "".join(f"2026-10-26 {hour}:00,4\n" for hour in hours)

    _, reader = read(text)

    assert reader.lacks_halves


def test_a_clock_of_24_hours_is_not_mistaken_for_one():
    text = "Time,T °C\n" + "".join(f"2026-10-26 {hour}:00,4\n" for hour in range(24))

    _, reader = read(text)

    assert not reader.lacks_halves


def test_steps_are_said_as_people_say_them():
    said = [say_step(n * 1_000_000) for n in (1, 60, 300, 90, 3600, 86_400, -60)]

    assert said == [
        *("every second", "every minute", "every 5 minutes", "every 90 seconds"),
        *("every hour", "every day", "every minute"),
    ]
    assert say_step(500_000) == "every 0.5 seconds"
