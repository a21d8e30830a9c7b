"""`temp import`: the CSV of any data logger, from a file to readings of a sensor."""

import gzip
from datetime import datetime, timedelta

import pytest

from lidclock.cli import temp_import
from lidclock.store import Database, Kitchens
from lidclock.store.readings import ReadingStore
from lidclock.store.sensors import Sensors

START = datetime(2026, 10, 26)


def log(
    temps, *, form="%d/%m/%Y %H:%M", head="Date/Time,Temp (°C)", step=1, start=START
):
    rows = [
        f"{start + timedelta(minutes=step * place):{form}},{temp}"
        for place, temp in enumerate(temps)
    ]
    return "\n".join(["Serial no.: 4711", head, *rows]) + "\n"


@pytest.fixture
def file(tmp_path):
    """Writes a log, and returns its name."""

    def write(text, name="log.csv"):
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return str(path)

    return write


def stored(cook, name="logger 4711"):
    """The raw readings of a sensor: microseconds and °C."""
    with Database.open(cook.database) as database, database.read() as connection:
        kitchen = Kitchens(connection).get()
        sensor = Sensors(connection, kitchen.id).get(name)
        if sensor is None:
            return None
        found = ReadingStore(connection, kitchen.id).get(sensor.id)
        return found.times_us.tolist(), found.temps_c.tolist()


def place_of(cook, name="logger 4711"):
    with Database.open(cook.database) as database, database.read() as connection:
        kitchen = Kitchens(connection).get()
        sensors = Sensors(connection, kitchen.id)
        sensor = sensors.get(name)
        return [
            one.place for one in sensors.assignments() if one.sensor_id == sensor.id
        ]


def test_a_log_is_shown_and_recorded(cook, file):
    """26 Oct 2026 00:00 in New York is 04:00 UTC."""
    name = file(log(["4.5", "4.6", "-1.25"]))

    screen = cook.see("temp", "import", name, "--place", "Fridge", "--yes")

    assert screen.splitlines() == [
        f"{name}:",
        "  times: column 1 'Date/Time', day first since 26/10/2026 occurs, in "
        "America/New_York as the kitchen",
        "  temperatures: column 2 'Temp (°C)', in °C by its heading",
        "  new sensor logger 4711 in Fridge (by the file): 3 readings, Mon 26 Oct 2026 "
        "00:00 to Mon 26 Oct 2026 00:02, every minute, -1.2 °C to 4.6 °C",
        "3 new, 0 known already",
    ]
    times_us, temps_c = stored(cook)
    assert temps_c == [4.5, 4.6, -1.25]
    assert times_us[0] == 1_792_987_200_000_000
    assert place_of(cook) == ["Fridge"]


def test_a_second_time_records_nothing_and_asks_nothing(cook, file):
    name = file(log(["4.5", "4.6"]))
    cook.run("temp", "import", name, "--place", "Fridge", "--yes")
    before = stored(cook)

    screen = cook.see("temp", "import", name)

    assert screen.splitlines()[-1] == "0 new, 2 known already"
    assert "sensor logger 4711 in Fridge (as the last time)" in screen
    assert stored(cook) == before


def test_the_next_file_of_the_logger_needs_nothing(cook, file):
    """Its dates settle no order, but that of the last file is remembered."""
    first = file(log(["4.5", "4.6"], start=datetime(2026, 9, 26)))
    cook.run("temp", "import", first, "--place", "Fridge", "--yes", "--shift", "+1h")
    text = log(["4.7", "4.8"], start=datetime(2026, 10, 5))
    second = file(text, "next.csv")

    screen = cook.see("temp", "import", second)

    assert "day first as the last time" in screen
    assert "times are moved by +1 h" in screen
    assert screen.splitlines()[-1] == "2 new, 0 known already"
    assert len(stored(cook)[0]) == 4


def test_a_dry_run_shows_the_same_and_writes_nothing(cook, file):
    name = file(log(["4.5", "4.6"]))

    dry = cook.see("temp", "import", name, "--place", "Fridge", "--dry-run")
    assert stored(cook) is None
    wet = cook.see("temp", "import", name, "--place", "Fridge", "--yes")

    assert dry.splitlines()[:-1] == wet.splitlines()[:-1]
    assert dry.splitlines()[-1] == "would be recorded: 2 new, 0 known already"


def test_a_dry_run_counts_what_is_known(cook, file):
    cook.run("temp", "import", file(log(["4.5"])), "--place", "Fridge", "--yes")

    dry = cook.see("temp", "import", file(log(["4.5", "4.6"])), "--dry-run")

    assert dry.splitlines()[-1] == "would be recorded: 1 new, 1 known already"
    assert len(stored(cook)[0]) == 1


def test_bad_rows_are_left_out_by_name_and_good_ones_kept(cook, file):
    name = file(log(["4.5", "###", "-999", "4.6", "ERR", "###"]))

    result = cook.run("temp", "import", name, "--place", "Fridge", "--yes", code=4)

    left_out = [line for line in result.stdout.splitlines() if "left out" in line]
    assert left_out == [
        "  left out: lines 4 and 8: '###' is no temperature",
        "  left out: line 5: -999 stands for no reading",
        "  left out: line 7: 'ERR' is no temperature",
    ]
    assert result.stderr == f"{name}: 4 values left out, named above\n"
    assert stored(cook)[1] == [4.5, 4.6]


def test_nothing_of_a_new_kind_is_recorded_unseen(cook, file):
    name = file(log(["4.5", "4.6"]))

    said = cook.fail(2, "temp", "import", name, "--place", "Fridge")

    assert "of a kind that was not imported before" in said
    assert "--yes" in said
    assert stored(cook) is None


@pytest.mark.parametrize(
    ("text", "option", "answer"),
    [
        (log(["4.5"], head="Time,Temp"), "--unit", "C or F"),
        (
            log(["4.5"], start=datetime(2026, 5, 10)),
            "day first (dmy) they are of Sun 10 May 2026",
            "--order dmy or mdy",
        ),
        (
            log(["4.5", "4.6"], head="Time,Temp (°C)").partition("\n")[2],
            "--sensor",
            "--place",
        ),
    ],
)
def test_what_the_file_leaves_open_is_refused_with_its_option(
    cook, file, text, option, answer
):
    said = cook.fail(2, "temp", "import", file(text), "--yes")

    assert option in said
    assert answer in said
    assert stored(cook) is None


def test_a_fridge_at_38_degrees_celsius_is_questioned(cook, file):
    name = file(log(["38.1", "38.5", "39.2"]))

    said = cook.fail(12, "temp", "import", name, "--place", "Fridge", "--yes")

    assert "above 38.5 °C, unusual for a fridge; as °F that is 3.6 °C" in said
    assert "--unit C if it is so, or --unit F" in said
    assert stored(cook) is None
    cook.run("temp", "import", name, "--place", "Fridge", "--yes", "--unit", "F")
    assert stored(cook)[1] == [3.3889, 3.6111, 4.0]


def test_a_failed_fridge_is_recorded_once_the_unit_is_said(cook, file):
    name = file(log(["38.1", "38.5", "39.2"]))

    cook.run("temp", "import", name, "--place", "Fridge", "--yes", "--unit", "C")

    assert stored(cook)[1] == [38.1, 38.5, 39.2]


def test_four_degrees_fahrenheit_in_a_fridge_are_questioned(cook, file):
    name = file(log(["4.1", "4.5"], head="Time,Temp (°F)"))

    said = cook.fail(12, "temp", "import", name, "--place", "Fridge", "--yes")

    assert "unusual for a fridge; as °C that is 4.3 °C" in said


def test_another_loggers_file_is_not_taken_for_this_ones(cook, file):
    """The same moments with other temperatures: nothing is kept of it."""
    temps = [f"{place / 10}" for place in range(40)]
    cook.run("temp", "import", file(log(temps)), "--place", "Fridge", "--yes")
    before = stored(cook)
    other = file(log([f"{temp}5" for temp in temps], start=START), "other.csv")

    said = cook.fail(13, "temp", "import", other)

    assert "contradicts 40 readings of logger 4711" in said
    assert "--sensor" in said
    assert stored(cook) == before


def test_a_few_readings_that_differ_leave_the_recorded_ones(cook, file):
    cook.run("temp", "import", file(log(["4.5", "4.6"])), "--place", "Fridge", "--yes")

    result = cook.run("temp", "import", file(log(["4.5", "4.7"])), code=4)

    assert (
        "1 reading left out, since the recorded one stays: Mon 26 Oct 2026 00:01 is "
        "recorded with 4.6 °C, here it has 4.7 °C"
    ) in result.stdout
    assert stored(cook)[1] == [4.5, 4.6]


def test_two_columns_are_two_sensors(cook, file):
    rows = "2026-10-26 00:00,4.5,-18\n2026-10-26 00:01,4.6,-18.5\n"
    name = file(f"Time,Upper (°C),Lower (°C)\n{rows}")
    asked = cook.fail(2, "temp", "import", name, "--yes", "--place", "Fridge")
    assert "--place is given 1 times for 2 sensors" in asked
    assert "column 2 'Upper (°C)', column 3 'Lower (°C)'" in asked

    both = ["--sensor", "A", "--sensor", "B", "--place", "Fridge", "--place", "Freezer"]
    cook.run("temp", "import", name, "--yes", *both)

    assert stored(cook, "A")[1] == [4.5, 4.6]
    assert stored(cook, "B")[1] == [-18, -18.5]
    assert place_of(cook, "B") == ["Freezer"]
    assert cook.see("temp", "import", name).splitlines()[-1] == "0 new, 4 known already"


def test_readings_may_belong_to_no_place_yet_and_that_is_told(cook, file):
    screen = cook.see("temp", "import", file(log(["4.5"])), "--yes", "--order", "dmy")

    assert "logger 4711 is in no place at that time: give --place" in screen


def test_a_sensor_that_was_elsewhere_is_not_moved(cook, file):
    cook.run("temp", "import", file(log(["4.5"])), "--place", "Fridge", "--yes")

    said = cook.fail(13, "temp", "import", file(log(["4.5"])), "--place", "Freezer")

    assert "logger 4711 was in Fridge at that time, not in Freezer" in said


def test_gzip_and_standard_input_are_read_too(cook, file):
    text = log(["4.5", "4.6"]).encode("utf-16")
    packed = file(gzip.compress(text), "log.csv.gz")
    cook.run("temp", "import", packed, "--place", "Fridge", "--yes")

    screen = cook.see("temp", "import", "-", given=text)

    assert screen.splitlines()[0] == "standard input:"
    assert screen.splitlines()[-1] == "0 new, 2 known already"


def test_a_file_that_breaks_off_gives_what_it_holds(cook, file):
    text = log([f"{place % 80 / 10}" for place in range(5000)])
    name = file(gzip.compress(text.encode())[:-4000], "log.csv.gz")

    result = cook.run("temp", "import", name, "--place", "Fridge", "--yes", code=4)

    assert "log.csv.gz breaks off or is damaged: was it copied whole?" in result.stdout
    assert 0 < len(stored(cook)[0]) < 5000


@pytest.mark.parametrize(
    ("content", "code", "said"),
    [
        (b"", 2, "is empty"),
        (b"PK\x03\x04...", 2, "a spreadsheet or an archive: export it as CSV"),
        (b"hello\nworld\n", 2, "is it a data logger's CSV?"),
        (b"Time,T (C)\n2026-10-26,4\n", 2, "is it a data logger's CSV?"),
    ],
)
def test_what_is_no_log_is_refused_in_one_line(cook, file, content, code, said):
    assert said in cook.fail(code, "temp", "import", file(content), "--yes")


def test_a_log_of_the_future_has_nothing_to_record(cook, file):
    name = file(log(["4.5"], start=datetime(2027, 10, 26)))

    said = cook.fail(13, "temp", "import", name, "--place", "Fridge", "--yes")

    assert "holds no reading that can be used" in said
    assert "in the future" in said


def test_a_missing_file_and_a_folder_are_named(cook, tmp_path):
    missing = str(tmp_path / "none.csv")

    assert "cannot read" in cook.fail(2, "temp", "import", missing)
    assert "is a folder" in cook.fail(2, "temp", "import", str(tmp_path))


@pytest.mark.parametrize("name", ["own.csv", "other.parquet"])
def test_an_export_of_readings_is_sent_to_the_command_that_takes_it(cook, file, name):
    cook.run("temp", "import", file(log(["4.5"])), "--place", "Fridge", "--yes")
    cook.run("temp", "export", "own.csv")

    assert f"`lidclock temp load {name}`" in cook.fail(2, "temp", "import", name)


def test_a_clock_of_twelve_hours_without_halves_is_refused(cook, file):
    hours = [12, *range(1, 12)] * 2
    rows = "".join(f"2026-10-26 {hour}:00,4.5\n" for hour in hours)

    said = cook.fail(2, "temp", "import", file(f"Time,T °C\n{rows}"), "--sensor", "A")

    assert "twice a day without AM or PM" in said


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (["--zone", "Mars/Base"], "unknown time zone"),
        (["--zone", "+25:00"], "no zone lies"),
        (["--shift", "1h"], "has no sign"),
        (["--temp", "9"], "is no column of this file"),
        (["--place", "Attic"], "no place 'Attic'"),
    ],
)
def test_a_wrong_option_is_refused(cook, file, given, said):
    code = 11 if "--place" in given else 2

    assert said in cook.fail(code, "temp", "import", file(log(["4.5"])), *given)


@pytest.mark.parametrize(
    ("zone", "hour"), [("UTC", 0), ("+02:00", -2), ("UTC-5", 5), ("Asia/Tokyo", -9)]
)
def test_the_zone_of_its_times_may_be_said(cook, file, zone, hour):
    """00:00 at +02:00 is 22:00 UTC of the day before."""
    name = file(log(["4.5"]))

    cook.run("temp", "import", name, "--place", "Fridge", "--yes", "--zone", zone)

    midnight_us = 1_792_972_800_000_000
    assert stored(cook)[0] == [midnight_us + hour * 3_600_000_000]


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("+1h", 3600), ("-5min", -300), ("+1h 30min", 5400), ("0", 0), ("−2h", -7200)],
)
def test_a_shift_has_a_sign(text, seconds):
    assert temp_import.read_shift(text) == timedelta(seconds=seconds)


def test_at_a_terminal_the_open_questions_are_asked(cook, file, monkeypatch):
    name = file(log(["38.1", "38.5"], head="Time,Temp", start=datetime(2026, 10, 5)))
    monkeypatch.setattr("lidclock.cli.temp_import.may_ask", lambda _: True)

    screen = cook.see("temp", "import", name, "--place", "Fridge", given="F\ndmy\ny\n")

    assert "no unit is given for column 2 'Temp': °C or °F?" in screen
    assert "no row tells days from months" in screen
    assert "record these 2 readings?" in screen
    assert stored(cook)[1] == [3.3889, 3.6111]


def test_rows_of_two_loggers_in_one_file_are_not_mixed(cook, file):
    text = log(["4.5"]) + log(["-18"]).replace("4711", "4712")

    said = cook.fail(2, "temp", "import", file(text), "--place", "Fridge", "--yes")

    assert "line 4: 'Serial no.: 4712' begins the rows of another logger" in said


def test_a_new_sensor_of_a_known_kind_is_not_made_unseen(cook, file):
    name = file(log(["4.5"]))
    cook.run("temp", "import", name, "--place", "Fridge", "--yes")

    said = cook.fail(2, "temp", "import", name, "--sensor", "loger 4711")

    assert "or of a new sensor" in said
    assert stored(cook, "loger 4711") is None


def bare_log(*temps, start=START):
    """A log that does not say which logger wrote it."""
    return log(temps, start=start).partition("\n")[2]


def test_loggers_of_one_make_are_told_apart_by_their_places(cook, file):
    first, second = file(bare_log("4.5"), "a.csv"), file(bare_log("-18"), "b.csv")
    cook.run("temp", "import", first, "--place", "Fridge", "--yes")
    cook.run("temp", "import", second, "--place", "Freezer", "--yes")

    said = cook.fail(2, "temp", "import", first)

    assert "such files came from Fridge, logger and Freezer, logger" in said
    again = cook.see("temp", "import", second, "--place", "Freezer")
    assert again.splitlines()[-1] == "0 new, 1 known already"
    assert stored(cook, "Fridge, logger")[1] == [4.5]
    assert stored(cook, "Freezer, logger")[1] == [-18]


def test_the_only_logger_of_its_make_needs_no_name(cook, file):
    cook.run("temp", "import", file(bare_log("4.5")), "--place", "Fridge", "--yes")

    later = file(bare_log("4.6", start=datetime(2026, 10, 28)), "later.csv")

    assert (
        cook.see("temp", "import", later).splitlines()[-1] == "1 new, 0 known already"
    )
