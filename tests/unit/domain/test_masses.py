from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.domain.masses import checked_mass, read_mass, say_mass, split_mass
from lidclock.errors import InputError


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("350g", 350.0),
        ("1.2 kg", 1200.0),
        ("1,5 kg", 1500.0),
        (" 12.54 g ", 12.5),
        ("0.05 g", 0.1),
        ("50 LB", 22679.6),  # 50 x 453.59237 = 22679.6185
        ("12 oz", 340.2),  # 12 x 28.349523125 = 340.194...
        ("1000 kg", 1_000_000.0),
    ],
)
def test_masses_are_read_as_people_write_them(text, grams):
    assert read_mass(text) == grams


@pytest.mark.parametrize(
    "text", ["", "350", "g", "-5 g", "1 stone", "1.2.3 kg", "1e3 g", "half kg", "٣ kg"]
)
def test_what_is_not_a_mass_is_refused(text):
    with pytest.raises(InputError, match="is not a mass"):
        read_mass(text)


@pytest.mark.parametrize("text", ["0 g", "0.04 g", "1000.1 kg", "9" * 40 + " g"])
def test_an_impossible_mass_is_refused(text):
    with pytest.raises(InputError, match="cannot be right"):
        read_mass(text)


@pytest.mark.parametrize("grams", [float("nan"), float("inf"), -1.0])
def test_a_mass_that_is_no_number_is_refused(grams):
    with pytest.raises(InputError):
        checked_mass(grams)


def test_masses_are_said_without_trailing_zeros():
    assert (say_mass(307.0), say_mass(12.5)) == ("307 g", "12.5 g")


def test_a_batch_of_1847_g_fills_six_containers_to_the_gram():
    """1847 = 6 x 307 + 5: five shares of 308 and one of 307."""
    assert split_mass(1847, 6) == [308, 308, 308, 308, 308, 307]


def test_a_fraction_of_a_gram_stays_on_the_first_share():
    assert split_mass(10.7, 3) == [4.7, 3.0, 3.0]


def test_a_mass_too_small_for_the_count_is_refused():
    with pytest.raises(InputError, match="cannot fill 3 containers"):
        split_mass(2.9, 3)


def test_no_containers_is_a_programmers_mistake():
    with pytest.raises(ValueError, match="cannot split into 0"):
        split_mass(100, 0)


@given(st.integers(10, 10_000_000), st.integers(1, 60))
def test_splitting_never_loses_a_tenth_of_a_gram(tenths, count):
    if tenths // 10 < count:
        return
    shares = split_mass(tenths / 10, count)

    assert len(shares) == count
    assert sum(Decimal(str(share)) for share in shares) == Decimal(tenths) / 10
    assert max(shares) - min(shares) < 2
