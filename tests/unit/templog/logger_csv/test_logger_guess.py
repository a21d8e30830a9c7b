"""What kind of file it is: every choice with its reason, every doubt a question."""

import pytest

from lidclock.errors import InputError
from lidclock.templog.logger_csv.choice import Wishes
from lidclock.templog.logger_csv.guess import guess, source_of


def layout(text, **wishes):
    return guess(text.split("\n"), Wishes(**wishes)).layout


PLAIN = "Time,Temp (°C)\n2026-10-26 00:00,4.5\n2026-10-26 00:01,4.6"
TWO = (
    "No.,Time,Fridge (°C),Freezer (°C),Set point (°C),Humidity (%RH)\n"
    "1,2026-10-26 00:00,4.5,-18,4,45\n2,2026-10-26 00:01,4.6,-18,4,45"
)


def test_a_plain_file_needs_nothing():
    found = guess(PLAIN.split("\n"))

    assert found.questions == ()
    assert (found.layout.delimiter, found.layout.first_row) == (",", 2)
    assert found.layout.times == ((0, "moment"),)
    assert [(one.index, one.unit) for one in found.layout.temps] == [(1, "C")]
    assert found.units_from == ("by its heading",)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_the_one_that_makes_rows(delimiter):
    assert layout(PLAIN.replace(",", delimiter)).delimiter == delimiter


def test_limits_and_other_quantities_are_no_readings():
    assert [one.index for one in layout(TWO).temps] == [2, 3]


@pytest.mark.parametrize("wish", ["5", "Set point (°C)", "set", "point"])
def test_a_column_is_named_by_number_or_heading(wish):
    assert [one.index for one in layout(TWO, temps=(wish,)).temps] == [4]


@pytest.mark.parametrize("wish", ["0", "7", "fr", "Door"])
def test_a_wish_that_fits_no_column_or_several_is_refused(wish):
    with pytest.raises(
        InputError, match="is no column of this file; there are column 1"
    ):
        layout(TWO, temps=(wish,))


def test_numbers_without_names_are_not_chosen_between():
    text = "Time,CH1,CH2\n2026-10-26 00:00,4.5,5\n2026-10-26 00:01,4.5,5.5"

    with pytest.raises(InputError, match="--temp; there are column 2 'CH1', column 3"):
        guess(text.split("\n"))
    assert [one.index for one in layout(text, temps=("CH2",)).temps] == [2]


@pytest.mark.parametrize(
    ("heading", "unit"),
    [
        ("Temp °C", "C"),
        ("Temp(F)", "F"),
        ("Temp [°F]", "F"),
        ("temp_c", "C"),
        ("temp_f", "F"),
        ("TempF", "F"),
        ("Temp Â°C", "C"),
        ("Temp (?F)", "F"),
        ("Temp (ºC)", "C"),
        ("Temp ℉", "F"),
        ("Temperature, Celsius", "C"),
        ("Temperature in degrees Fahrenheit", "F"),
        ("Temperature", ""),
        ("Temp, °C (sensor F)", "C"),
    ],
)
def test_the_heading_gives_the_unit(heading, unit):
    found = guess(f'Time,"{heading}"\n2026-10-26 00:00,4.5'.split("\n"))

    assert [one.unit for one in found.layout.temps] == [unit]
    assert [one.option for one in found.questions] == ([] if unit else ["--unit"])


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("Time,Temp\n,°F\n2026-10-26 00:00,38", "by its heading"),
        ("Time,Temp\n2026-10-26 00:00,38 °F", "by its values"),
        ("Time,Temp,Unit\n2026-10-26 00:00,38,F", "by the unit beside it"),
        ("Units: Fahrenheit\nTime,Temp\n2026-10-26 00:00,38", "by a line above"),
        ("Temperature scale;F\nTime;Temp\n2026-10-26 00:00;38", "by a line above"),
    ],
)
def test_the_unit_may_stand_elsewhere(text, reason):
    found = guess(text.split("\n"))

    assert [one.unit for one in found.layout.temps] == ["F"]
    assert found.units_from == (reason,)


def test_a_unit_that_contradicts_its_heading_is_refused():
    with pytest.raises(InputError, match="is headed °C, but its values are in °F"):
        layout("Time,Temp °C\n2026-10-26 00:00,38 °F")


def test_kelvins_are_refused():
    with pytest.raises(InputError, match="is in kelvin"):
        layout("Time,Temp (K)\n2026-10-26 00:00,278")


def test_the_same_in_both_units_is_taken_once():
    found = guess("Time,Temp(C),Temp(F)\n2026-10-26 00:00,4.5,40.1".split("\n"))

    assert [one.index for one in found.layout.temps] == [1]
    assert found.notes == ("column 3 'Temp(F)' is the same in °F, left out",)


def test_a_preamble_is_passed_over_and_gives_the_device():
    text = "Serial no.: 12\nStarted: 2026-10-26 00:00\n\n" + PLAIN
    found = guess(text.split("\n"))

    assert found.layout.first_row == 5
    assert found.device == "Serial no.: 12"


def test_a_padded_preamble_is_passed_over():
    text = "Start,26/10/2026 00:00,\nNo.,Time,Temp °C\n1,26/10/2026 00:00,4.5"

    assert layout(text).first_row == 3


def test_the_source_is_the_same_for_files_of_one_kind_and_device():
    later = PLAIN.replace("2026-10", "2026-11")
    other = "Serial no.: 13\n" + PLAIN
    sources = {guess(text.split("\n")).source for text in (PLAIN, later)}

    assert len(sources) == 1
    assert guess(other.split("\n")).source not in sources


def test_without_headings_nothing_tells_the_source():
    assert guess(["2026-10-26 00:00,4.5", "2026-10-26 00:01,4.6"]).source == ""


def test_faults_in_the_first_rows_do_not_hide_them():
    text = PLAIN.replace("4.5", "ERR").replace("4.6", "---") + "\n2026-10-26 00:02,4.6"

    assert layout(text).first_row == 2


def test_times_may_stand_in_two_columns():
    found = layout("Uhrzeit;Datum;Temp °C\n00:00;26.10.2026;4,5")

    assert found.times == ((1, "date"), (0, "clock"))
    assert found.mark == ","


def test_a_second_column_of_times_is_mentioned():
    text = "Read,Sent,T °C\n2026-10-26 00:00,2026-10-26 00:05,4.5"
    found = guess(text.split("\n"))

    assert found.layout.time_index == 0
    assert found.notes == ("column 2 'Sent' could be the times too; --time takes them",)
    assert layout(text, times=("Sent",)).time_index == 1


def test_a_wish_for_times_that_are_none_shows_what_is_there():
    with pytest.raises(InputError, match=r"holds no times that can be read.*'4\.5'"):
        layout(PLAIN, times=("2",))


def test_decimal_commas_that_part_fields_are_refused():
    with pytest.raises(InputError, match="rows have 3 fields and the heading 2"):
        layout("Time,Temp °C\n2026-10-26 00:00,4,5\n2026-10-26 00:01,4,6")


def test_a_column_of_names_parts_the_sensors():
    text = "time,sensor,temp_c\n" + "\n".join(
        f"2026-10-26 00:0{place},{name},4.5" for place, name in enumerate("ABAB")
    )

    assert layout(text).name_index == 1


def test_a_column_of_quantities_is_refused():
    text = "time,metric,value\n2026-10-26 00:00,temp,4\n2026-10-26 00:00,hum,45"

    with pytest.raises(InputError, match="names different things"):
        guess(text.split("\n"))


@pytest.mark.parametrize(
    ("heading", "hours"),
    [
        ("Date Time, GMT-04:00", -4),
        ("time_utc", 0),
        ("Timestamp (UTC)", 0),
        ("Time [UTC+1]", 1),
        ("Time", None),
        ("Outcome", None),
    ],
)
def test_the_heading_gives_the_offset(heading, hours):
    found = layout(f'"{heading}";Temp °C\n2026-10-26 00:00;4.5')
    expected = None if hours is None else hours * 3_600_000_000

    assert found.offset_us == expected


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("Time zone: UTC+1", "UTC+1"),
        ("Timezone;Europe/Berlin", "Europe/Berlin"),
        ("Time zone: (UTC-05:00) Eastern Time", "(UTC-05:00) Eastern Time"),
        ("Zone 4", ""),
    ],
)
def test_what_a_line_says_of_the_zone_is_handed_on(line, said):
    assert guess(f"{line}\n{PLAIN}".split("\n")).zone_said == said


@pytest.mark.parametrize(
    ("heading", "order"),
    [
        ("dd/mm/yyyy hh:mm", "dmy"),
        ("MM/DD/YYYY", "mdy"),
        ("TT.MM.JJJJ", "dmy"),
        ("Time", ""),
    ],
)
def test_the_heading_may_give_the_order(heading, order):
    found = guess(f"{heading},Temp °C\n05/10/2026 00:00,4.5".split("\n"))

    assert found.layout.order == order
    assert found.needs_order == (not order)


@pytest.mark.parametrize(
    "text", ["", "hello\nworld", '{"a": 1}', "Date,T\n2026-10-26,4"]
)
def test_what_is_no_log_is_refused(text):
    with pytest.raises(InputError, match="is it a data logger's CSV"):
        guess(text.split("\n"))


def test_words_that_part_rows_of_one_moment_are_names():
    rows = ["2026-10-26 00:00,a,4.5", "2026-10-26 00:00,b,-18"] * 2

    assert layout("\n".join(rows), unit="C").name_index == 1


def test_words_without_a_heading_are_mentioned():
    """They may be sensors that took turns, or say how the door was."""
    rows = ["2026-10-26 00:00,a,4.5", "2026-10-26 00:01,b,-18"]
    found = guess(rows, Wishes(unit="C"))

    assert found.layout.name_index is None
    assert "column 2 holds 'a', 'b': if these are sensors" in found.notes[0]


def test_words_under_another_heading_are_passed_over():
    text = "Time,Door,T °C\n2026-10-26 00:00,open,4.5\n2026-10-26 00:01,shut,4.5"
    found = guess(text.split("\n"))

    assert (found.layout.name_index, found.notes) == (None, ())


def test_what_the_source_is_needs_no_choice_of_columns():
    text = "Time,CH1,CH2\n2026-10-26 00:00,4.5,5"

    assert (
        source_of(text.split("\n"))
        == guess(text.split("\n"), Wishes(temps=("CH1",), unit="C")).source
    )
