"""Amounts as they are written, and as they are shown."""

from fractions import Fraction

import pytest

from lidclock.errors import InputError
from lidclock.plan.units import (
    decimal_text,
    nearest,
    read_amount,
    read_number,
    read_step,
    rounded_g,
    say_mass,
)

POUND = Fraction("453.59237")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("0.1", Fraction(1, 10)),
        ("1,5", Fraction(3, 2)),
        ("3/4", Fraction(3, 4)),
        ("1 1/2", Fraction(3, 2)),
        (" 12 ", Fraction(12)),
        ("1.000", Fraction(1)),
        ("0,125", Fraction(1, 8)),
    ],
)
def test_a_number_is_read_exactly(text, expected):
    assert read_number(text) == expected


@pytest.mark.parametrize(
    "text", ["", "-1", "1,000", "1/0", "1e3", "NaN", "½", "1 2", "٣", "9" * 41, "1/2/3"]
)
def test_what_is_no_plain_number_is_not_guessed_at(text):
    assert read_number(text) is None


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("350g", Fraction(350)),
        ("1,2 kg", Fraction(1200)),
        ("12oz", POUND * 12 / 16),
        ("4 lb 5 1/2 oz", POUND * 4 + POUND * Fraction(11, 32)),
        ("1 1/2 LB", POUND * Fraction(3, 2)),
    ],
)
def test_a_mass_is_read_exactly(text, grams):
    assert read_amount(text).grams(None) == grams


def test_a_volume_weighs_what_its_density_says():
    """250 ml x 1.03 g/ml = 257.5 g; a litre is a thousand of them."""
    density = Fraction("1.03")

    assert read_amount("250 ml").grams(density) == Fraction("257.5")
    assert read_amount("1 l").grams(density) == 1030


def test_a_volume_without_a_density_is_refused():
    with pytest.raises(InputError, match="give density"):
        read_amount("250 ml").grams(None)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("3 fl oz", "write millilitres"),
        ("2 cups", "'cups' is not one of g, kg, lb, oz, ml, l"),
        ("500", "is not an amount"),
        ("-5 g", "is not an amount"),
        ("g", "is not an amount"),
        ("", "is not an amount"),
        ("1,000 g", "is not an amount"),
        ("1" * 500 + " g", "is not an amount"),
    ],
)
def test_what_is_no_amount_says_how_to_write_one(text, words):
    with pytest.raises(InputError, match=words):
        read_amount(text)


@pytest.mark.parametrize(
    ("value", "step", "expected"),
    [("5.25", "0.5", "5.5"), ("5.24", "0.5", "5"), ("0.05", "0.1", "0.1")],
)
def test_halves_are_rounded_up(value, step, expected):
    assert nearest(Fraction(value), Fraction(step)) == Fraction(expected)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(28470), "28470"),
        (Fraction(1, 8), "0.125"),
        (Fraction(1, 3), "0.333333333333"),
        (Fraction(-3, 20), "-0.15"),
        (Fraction(0), "0"),
        (Fraction(100), "100"),
    ],
)
def test_decimals_are_exact_where_they_end(value, text):
    assert decimal_text(value) == text


@pytest.mark.parametrize(
    ("grams", "units", "step", "shown"),
    [
        ("1089.6755", "metric", "", "1089.7 g"),
        ("5.4484", "metric", "", "5.45 g"),
        ("109", "metric", "", "109 g"),
        ("9.999", "metric", "", "10 g"),
        ("10.04", "metric", "", "10 g"),
        ("1089.6755", "metric", "5 g", "1090 g"),
        ("453.59237", "us", "", "1 lb"),
        ("453.5", "us", "", "1 lb"),
        ("28", "us", "", "0.99 oz"),
        ("1973.126815", "us", "", "4 lb 5.6 oz"),
        ("1973.126815", "metric", "0.5 oz", "4 lb 5.5 oz"),
        ("1973.126815", "us", "1 g", "1973 g"),
    ],
)
def test_masses_are_shown_as_a_scale_shows_them(grams, units, step, shown):
    """1973.126815 g are 4.35 lb: 4 lb and 0.35 x 16 = 5.6 oz."""
    chosen = read_step(step) if step else None

    assert say_mass(Fraction(grams), units, chosen) == shown


def test_what_is_shown_is_what_the_difference_is_taken_from():
    assert rounded_g(Fraction("5.4484"), "metric", None) == Fraction("5.45")


@pytest.mark.parametrize("text", ["", "0 g", "1 ml", "g", "x"])
def test_a_step_is_a_mass_above_nothing(text):
    with pytest.raises(InputError, match="nothing to round to"):
        read_step(text)
