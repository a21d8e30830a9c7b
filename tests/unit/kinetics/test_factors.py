"""What acidity and dryness leave of a rate, and what is never credited."""

from __future__ import annotations

import pytest

from lidclock.kinetics.factors import (
    Factors,
    cardinal_ph,
    gamma_aw,
    gamma_ph,
    gamma_temperature,
)


def test_the_factor_of_temperature_is_a_square_without_credit_above_the_optimum():
    found = [gamma_temperature(temp, 5, 35) for temp in (0, 5, 20, 35, 50)]

    assert found == pytest.approx([0, 0, 0.25, 1, 1])


@pytest.mark.parametrize("factor", [gamma_ph, cardinal_ph])
def test_a_factor_of_ph_is_one_at_the_optimum_and_nothing_at_the_ends(factor):
    found = [factor(ph, 4.5, 7.0, 9.5) for ph in (3, 4.5, 7.0, 9.5, 11)]

    assert found == [0, 0, 1, 0, 0]


def test_the_two_forms_of_ph_by_hand():
    """At 5.75 of 4.5, 7, 9.5: 1.25 x 3.75 / 6.25, and 4.6875 / (4.6875 + 1.5625)."""
    assert gamma_ph(5.75, 4.5, 7.0, 9.5) == pytest.approx(0.75)
    assert cardinal_ph(5.75, 4.5, 7.0, 9.5) == pytest.approx(0.75)
    assert cardinal_ph(5.0, 4.5, 6.0, 9.5) == pytest.approx(2.25 / 3.25)


def test_more_water_than_the_optimum_gives_no_further_credit():
    found = [gamma_aw(aw, 0.8, 0.99) for aw in (0.7, 0.8, 0.895, 0.99, 1.0)]

    assert found == pytest.approx([0, 0, 0.5, 1, 1])


def test_an_unmeasured_or_unknown_value_leaves_the_rate_as_it_is():
    known = Factors(ph=(4.5, 7.0, 9.5), aw=(0.9, 1.0))

    assert (known.of_ph(None), known.of_aw(None)) == (1.0, 1.0)
    assert (Factors().of_ph(4.0), Factors().of_aw(0.5)) == (1.0, 1.0)
    assert (known.of_ph(4.0), known.of_aw(0.95)) == (0.0, pytest.approx(0.5))


@pytest.mark.parametrize(
    "make",
    [
        lambda: Factors(ph=(7.0, 4.5, 9.5)),
        lambda: Factors(aw=(0.99, 0.9)),
        lambda: Factors(aw=(0.9, 1.1)),
        lambda: gamma_temperature(5, 35, 5),
    ],
)
def test_cardinal_values_out_of_order_are_refused(make):
    with pytest.raises(ValueError, match=r"need|must lie below"):
        make()
