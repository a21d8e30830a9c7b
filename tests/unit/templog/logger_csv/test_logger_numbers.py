"""Numbers in the fields of a logger: decimal marks, groups, units, exactness."""

import pytest

from lidclock.templog.logger_csv.numbers import (
    Number,
    decimal_mark,
    read_number,
    unit_after_digits,
)


@pytest.mark.parametrize(
    ("text", "mark", "number"),
    [
        ("4.5", ".", Number(45, 1)),
        ("-18", ".", Number(-18, 0)),
        ("+0.50", ".", Number(50, 2)),
        (".5", ".", Number(5, 1)),
        ("4.", ".", Number(4, 0)),
        ("−1.2", ".", Number(-12, 1)),
        ("4,5", ",", Number(45, 1)),
        ("1,234.5", ".", Number(12345, 1)),
        ("1.234,5", ",", Number(12345, 1)),
        ("1 234.5", ".", Number(12345, 1)),
        ("1\u202f234,5", ",", Number(12345, 1)),
        ("1'234.5", ".", Number(12345, 1)),
        ("4.5E+00", ".", Number(45, 1)),
        ("4.5e-1", ".", Number(45, 2)),
        ("4.5e2", ".", Number(450, 0)),
        ("4.5 °C", ".", Number(45, 1, "C")),
        ("40.1°F", ".", Number(401, 1, "F")),
        ("4.5C", ".", Number(45, 1, "C")),
        ("4,5 ℃", ",", Number(45, 1, "C")),
    ],
)
def test_a_number_is_read_to_its_last_digit(text, mark, number):
    assert read_number(text, mark) == number


@pytest.mark.parametrize(
    ("text", "mark"),
    [
        ("4,5", "."),
        ("4.5", ","),
        ("", "."),
        ("-", "."),
        (".", "."),
        ("4.5.6", "."),
        ("1,23.4", "."),
        ("###", "."),
        ("NaN", "."),
        ("inf", "."),
        ("٤", "."),
        ("4.5 %", "."),
        ("0x10", "."),
        ("4 5", "."),
        ("1" * 40, "."),
        ("4e99", "."),
    ],
)
def test_what_is_no_number_is_none(text, mark):
    """4,5 in a column of decimal points may be a typing error: nobody guesses."""
    assert read_number(text, mark) is None


@pytest.mark.parametrize(
    ("text", "value"), [("4,5", 4.5), ("4.5", 4.5), ("4", 4), ("1.234,5", 1234.5)]
)
def test_where_the_column_has_no_mark_each_number_has_its_own(text, value):
    number = read_number(text, "")

    assert number is not None
    assert number.value == value


def test_fahrenheit_keeps_four_decimals():
    """38.5 °F is 6.5 * 5/9 = 3.6111... °C."""
    assert Number(385, 1).celsius("F") == 3.6111


def test_fahrenheit_is_rounded_once():
    """100.04 °F is (100.04 - 32) * 5/9 = 37.8 °C exactly; in floats it is not."""
    assert Number(10004, 2).celsius("F") == 37.8
    assert (100.04 - 32) / 1.8 != 37.8


def test_a_unit_beside_the_number_holds_for_it():
    assert Number(50, 0, "F").celsius("C") == 10.0


def test_a_number_without_a_unit_is_no_temperature():
    with pytest.raises(ValueError, match="a unit is C or F"):
        Number(4, 0).celsius("")


@pytest.mark.parametrize(
    ("texts", "mark"),
    [
        (["4.5", "4"], "."),
        (["4,5", "4"], ","),
        (["1.234,5"], ","),
        (["1,234.5"], "."),
        (["4", "5"], ""),
        (["4,5", "4,6", "4.7"], ","),
        ([], ""),
    ],
)
def test_the_column_tells_its_decimal_mark(texts, mark):
    assert decimal_mark(texts) == mark


@pytest.mark.parametrize(
    ("text", "unit"), [("4.5 °C", "C"), ("38F", "F"), ("4.5", ""), ("45 %", "")]
)
def test_the_unit_behind_a_number_is_found(text, unit):
    assert unit_after_digits(text) == unit
