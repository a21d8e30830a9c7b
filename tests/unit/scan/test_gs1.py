"""Suppliers' symbols: what is taken from them, and what is refused."""

from datetime import date

import pytest

from lidclock.errors import InputError
from lidclock.scan.gs1 import read_pack
from lidclock.scan.wedge import GS, clean

GTIN = "09501101530003"
YEAR = 2026


def read(text, year=YEAR):
    return read_pack(clean(text), year)


def refusal(text):
    with pytest.raises(InputError) as caught:
        read(text)
    return str(caught.value)


WHOLE = [
    f"(01){GTIN}(10)AB12(17)261231",
    f"]C101{GTIN}10AB12{GS}17261231",
    f"]d201{GTIN}1726123110AB12",
    f"]Q301{GTIN}10AB12^]17261231",
    f"]c101{GTIN}10ab12{GS}17261231",
    f"01{GTIN}1726123110AB12",
    f"https://shop.example/de/01/{GTIN}/10/AB12?17=261231",
    f"]Q1HTTPS://SHOP.EXAMPLE/01/{GTIN}/10/AB12?17=261231&x=1",
]


@pytest.mark.parametrize("text", WHOLE)
def test_number_lot_and_use_by_are_read_however_they_come(text):
    pack = read(text)

    assert (pack.gtin, pack.lot) == (GTIN, "AB12")
    assert pack.use_by == date(2026, 12, 31)
    assert pack.best_before is None
    assert not pack.is_local


@pytest.mark.parametrize("text", ["9501101530003", "]E09501101530003", f"]I1{GTIN}"])
def test_a_bare_number_is_a_product_and_nothing_else(text):
    pack = read(text)

    assert pack.gtin == GTIN
    assert (pack.lot, pack.use_by, pack.best_before) == ("", None, None)


def test_a_best_before_is_no_use_by():
    pack = read(f"(01){GTIN}(15)261231")

    assert pack.use_by is None
    assert pack.best_before == date(2026, 12, 31)


def test_an_expiry_with_an_hour_ends_the_day_before():
    """A maker's date here is a whole day, and must not come later than the hour."""
    assert read(f"(01){GTIN}(7003)2612311200").use_by == date(2026, 12, 30)


def test_of_two_expiries_the_earlier_counts():
    pack = read(f"(01){GTIN}(17)261231(7003)2612151200")

    assert pack.use_by == date(2026, 12, 14)


@pytest.mark.parametrize("text", ["4006381333932", "]E04006381333932", "]E4abc", "]E0"])
def test_a_wrong_check_digit_is_refused(text):
    assert "its check digit is wrong" in refusal(text)


def test_a_wrong_check_digit_is_refused_within_element_strings():
    assert "its check digit is wrong" in refusal("(01)09501101530004(17)261231")


def test_a_number_of_noughts_is_no_product():
    assert "is no GTIN" in refusal("(01)00000000000000")


def test_two_products_in_one_symbol_are_refused():
    assert "two products" in refusal(f"(01){GTIN}(02)00614141000418(37)5")


def test_two_dates_of_one_kind_are_refused():
    assert "says (17) twice" in refusal(f"(01){GTIN}(17)261231(17)270131")


@pytest.mark.parametrize("value", ["261301", "260230", "260432", "260001"])
def test_a_day_that_does_not_exist_is_refused(value):
    told = refusal(f"(01){GTIN}(17){value}")

    assert "is no date" in told or "does not read" in told


def test_a_symbol_of_a_transport_unit_names_no_product():
    assert "holds no GTIN" in refusal("(00)395011015300000011")


@pytest.mark.parametrize(
    "text",
    [
        f"]C101{GTIN}1726",
        "]C1Ä",
        f"(01){GTIN}(17)\u0662\u06661231",
        f"]C101{GTIN}17\u0662\u06661231",
        f"https://a/01/{GTIN}?17=%D9%A2%D9%A61231",
        "]C1",
        f"(01){GTIN}(10)AB(C)",
        f"(01){GTIN}(17)261231 and more",
        "https://a/01/9501101530003",
        f"https://a/01/{GTIN}/",
        f"https://a/01/{GTIN}?17=261231&17=270131",
        f"https://a/01/{GTIN}?17=",
        f"https://a/01/{GTIN}/21/1/10/A",
    ],
)
def test_what_is_not_whole_is_refused(text):
    assert "does not read" in refusal(text)


@pytest.mark.parametrize("ai", ["17", "15"])
def test_a_lot_that_may_have_swallowed_a_date_is_refused(ai):
    assert "left out a separator" in refusal(f"]C101{GTIN}10AB12{ai}261231")


def test_what_comes_behind_a_lot_without_a_separator_is_refused():
    """Twenty characters are the most a lot has; the rest is no element of its own."""
    assert "left out a separator" in refusal(f"]C101{GTIN}10{'0' * 20}210101")


@pytest.mark.parametrize(
    "text",
    [
        f"]C101{GTIN}1726123110AB1217261231",
        f"]C101{GTIN}10AB1217261231{GS}21X",
        f"(01){GTIN}(10)AB1217261231",
        f"https://a/01/{GTIN}/10/AB1217261231",
    ],
)
def test_a_long_lot_is_taken_where_nothing_can_be_swallowed(text):
    assert read(text).lot == "AB1217261231"


@pytest.mark.parametrize(
    "text",
    [
        "4F7K2M0",
        "12345678",
        "HtTps://a/01/09501101530003",
        "https://a.example/menu",
        "]C04006381333932x",
        f"]C001{GTIN}17261231",
        "",
    ],
)
def test_anything_else_is_no_suppliers_symbol(text):
    assert read(text) is None


@pytest.mark.parametrize(
    ("number", "is_local"),
    [
        ("2012345678903", True),
        ("(01)02012345678903", True),
        ("(01)12012345678900", False),
        ("0212345678909", True),
        ("9501101530003", False),
        ("02345673", True),
        ("96385074", False),
    ],
)
def test_numbers_of_one_shop_are_told_apart(number, is_local):
    assert read(number).is_local == is_local


def test_the_century_hangs_on_the_present_year_not_on_the_clock():
    assert read(f"(01){GTIN}(17)760101", 2026).use_by == date(2076, 1, 1)
    assert read(f"(01){GTIN}(17)760101", 2024).use_by == date(1976, 1, 1)


def test_what_was_read_can_be_typed_again():
    pack = read(f"]C101{GTIN}10AB12{GS}17261231")

    assert pack.bracketed == f"(01){GTIN}(10)AB12(17)261231"
    assert read(pack.bracketed) == pack
