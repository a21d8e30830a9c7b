"""Sizes by figure and by name, and what of a printer's offers fits a stock."""

import pytest

from lidclock.gateways.media import (
    Offer,
    Size,
    fitting,
    named_among,
    offers_of,
    say_offers,
    size_of,
    standard_name,
)

# PWG 5101.1 names as libcups 2.4.2 reads them (pwgMediaForPWG): width and length in
# hundredths of a millimetre.
PUBLISHED = [
    ("iso_a4_210x297mm", 21000, 29700),
    ("na_letter_8.5x11in", 21590, 27940),
    ("om_29x62-label_29x62mm", 2900, 6200),
    ("oe_2x1-label_2x1in", 5080, 2540),
    ("oe_2.25x1.25-label_2.25x1.25in", 5715, 3175),
    ("na_index-4x6_4x6in", 10160, 15240),
]
LETTER, ROLL = Size(21590, 27940), Size(5080, 2540)


def only(size):
    return Offer(size, size)


@pytest.mark.parametrize(("name", "x", "y"), PUBLISHED)
def test_a_published_name_gives_its_published_size(name, x, y):
    assert size_of(name) == Size(x, y)


@pytest.mark.parametrize(("name", "x", "y"), PUBLISHED)
def test_a_published_size_gives_its_published_name(name, x, y):
    assert standard_name(Size(x, y)) == name


@pytest.mark.parametrize(
    "word", ["", "letter", "stationery", "na_letter", "8.5x11in", "na_letter_8.5x11pt"]
)
def test_other_words_name_no_size(word):
    assert size_of(word) is None


def test_millimetres_become_hundredths():
    assert Size.of_mm(50.8, 25.4) == ROLL


def test_a_pair_of_limits_offers_everything_between():
    offers = offers_of(
        ["oe_2x1-label_2x1in", "custom_min_15x15mm", "custom_max_104x2000mm"]
    )

    assert offers == [only(ROLL), Offer(Size(1500, 1500), Size(10400, 200000))]


def test_a_limit_without_its_other_end_offers_nothing():
    assert offers_of(["custom_min_15x15mm"]) == []


@pytest.mark.parametrize(
    ("wanted", "fits"),
    [
        (Size(5080, 2540), True),
        (Size(5129, 2491), True),
        (Size(5130, 2540), False),
        (Size(5080, 2590), False),
        (Size(2540, 5080), False),
    ],
)
def test_sizes_nearer_than_half_a_millimetre_are_the_same(wanted, fits):
    assert fitting(wanted, [only(ROLL)]) == (ROLL if fits else None)


def test_a_size_within_a_range_stays_as_it_is():
    anything = Offer(Size(1500, 1500), Size(10400, 200000))

    assert fitting(Size(6000, 3000), [anything]) == Size(6000, 3000)
    assert fitting(LETTER, [anything]) is None


def test_the_nearest_of_several_offers_is_taken():
    offers = [only(Size(5110, 2540)), only(Size(5085, 2540))]

    assert fitting(ROLL, offers) == Size(5085, 2540)


def test_a_printers_own_name_is_found_by_size():
    names = ["na_letter_8.5x11in", "om_letter-like_216x279.5mm", "auto"]

    assert named_among(LETTER, names) == "na_letter_8.5x11in"
    assert named_among(ROLL, names) is None


def test_offers_are_said_in_millimetres():
    offers = [only(ROLL), Offer(Size(1500, 1500), Size(10400, 200000))]

    assert say_offers(offers) == (
        "50.8 x 25.4 mm, anything from 15 x 15 mm to 104 x 2000 mm"
    )


def test_many_offers_are_cut_short():
    offers = [only(Size(n * 1000, 1000)) for n in range(1, 9)]

    assert say_offers(offers).endswith("60 x 10 mm, and 2 more")
