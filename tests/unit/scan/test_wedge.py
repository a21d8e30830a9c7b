"""What scanners add is taken off; what they leave out is not made up."""

import pytest

from lidclock.scan.wedge import GS, Line, clean

CODE = "4F7K2M0"
ELEMENTS = f"010950110153000310aB1{GS}17261231"


@pytest.mark.parametrize(
    "raw",
    [
        f"{CODE}\r",
        f"{CODE}\r\n",
        f"{CODE}\t",
        f"\x02{CODE}\x03",
        f"\ufeff{CODE}\x00",
        f"  {CODE}\x1d",
    ],
)
def test_prefixes_and_suffixes_go(raw):
    assert clean(raw) == Line(CODE)


@pytest.mark.parametrize("aim", ["]C0", "]Q1", "]d1", "]C1", "]E0", "]X9"])
def test_an_aim_identifier_is_kept_apart(aim):
    assert clean(f"{aim}{CODE}\r") == Line(CODE, aim)


def test_only_one_identifier_in_front_is_one():
    assert clean(f"{CODE}]C0") == Line(f"{CODE}]C0")
    assert clean(f"]C0]C0{CODE}") == Line(f"]C0{CODE}", "]C0")


@pytest.mark.parametrize("spelt", ["^]", "\u241d", GS])
def test_a_separator_may_arrive_spelt_out(spelt):
    raw = "]C1" + ELEMENTS.replace(GS, spelt)

    assert clean(raw) == Line(ELEMENTS, "]C1")


@pytest.mark.parametrize(("aim", "flipped"), [("]C1", "]c1"), ("]d2", "]D2")])
def test_caps_lock_shows_in_the_identifier_and_is_undone(aim, flipped):
    assert clean(flipped + ELEMENTS.swapcase()) == Line(ELEMENTS, aim)


@pytest.mark.parametrize("sent", ["]E0", "]e0"])
def test_ean_and_databar_are_told_apart_by_their_length(sent):
    assert clean(f"{sent}4006381333931").aim == "]E0"
    assert clean(f"{sent}0109501101530003").aim == "]e0"


def test_without_an_identifier_the_case_stays():
    assert clean("10aB1").text == "10aB1"


@pytest.mark.parametrize(
    "raw",
    [
        "]C11012345",
        "]E04006381333931",
        "(01)09501101530003",
        "0109501101530003",
        "https://id.gs1.org/01/09520123456788/10/ABC123",
        "HTTPS://ID.GS1.ORG/01/09520123456788",
    ],
)
def test_a_suppliers_symbol_is_told_by_its_shape(raw):
    assert clean(raw).is_suppliers


@pytest.mark.parametrize(
    "raw", [CODE, f"]C0{CODE}", f"HTTP://LIDCLOCK.LOCAL/01/C/{CODE}", "TO=01", "(0"]
)
def test_a_lid_or_an_action_has_not_that_shape(raw):
    assert not clean(raw).is_suppliers
