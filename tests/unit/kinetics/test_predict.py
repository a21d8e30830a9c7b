"""What is made of an organism and a history: the band, the range, the cautions."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from lidclock.kinetics.cardinal import Cardinal
from lidclock.kinetics.factors import Factors
from lidclock.kinetics.load import load_library
from lidclock.kinetics.predict import (
    ADVICE,
    CEILING,
    HIGH,
    LAG,
    SPORES,
    Conditions,
    given,
    predict,
    worst,
)
from lidclock.kinetics.rates import SquareRoot

LN10 = math.log(10)
ORGANISMS = load_library().organisms
LISTERIA = ORGANISMS["listeria-monocytogenes"]
STAPH = ORGANISMS["staphylococcus-aureus"]
# A rate of 1 an hour at 10 °C.
OWN = given(SquareRoot(0.1, 0.0), Factors())


def held_at(temp_c, hours, organism=OWN, under=None):
    times, temps = np.array([0.0, hours]), np.array([temp_c, temp_c], float)
    return predict(times, temps, organism, under or Conditions())


def test_a_steady_hold_grows_by_its_rate():
    told = held_at(10, 5)

    assert told.exposure == pytest.approx(5)
    assert told.increase.mid == pytest.approx(5 / LN10)
    assert told.doublings == pytest.approx(5 / math.log(2))
    assert told.hours == 5


def test_the_band_is_half_and_double_the_rate():
    told = held_at(10, 5)

    assert told.increase.low == pytest.approx(told.increase.mid / 2)
    assert told.increase.high == pytest.approx(told.increase.mid * 2)


def test_the_high_edge_gives_no_credit_for_heat():
    law = Cardinal(1.0, 5.0, 37.0, 45.0)
    told = held_at(50, 3, given(law, Factors()))

    assert (told.exposure, told.increase.mid) == (0, 0)
    assert told.increase.high == pytest.approx(6 / LN10)


def test_a_lag_and_a_ceiling_follow_baranyi_and_roberts():
    under = Conditions(h0=2.0, start_log10=2.0, max_log10=5.0)
    told = held_at(10, 5, under=under)
    after = math.log(1 + math.exp(-2) * (math.exp(5) - 1))
    slowed = after - math.log(1 + (math.exp(after) - 1) / 1000)

    assert told.increase.mid == pytest.approx(slowed / LN10)
    assert told.end.mid == pytest.approx(2 + slowed / LN10)
    assert told.end.high < 5
    assert {LAG, CEILING} < set(told.cautions)


def test_a_start_without_a_ceiling_only_shifts_the_end():
    told = held_at(10, 5, under=Conditions(start_log10=1.5))

    assert told.end.mid == pytest.approx(1.5 + told.increase.mid)


def test_given_factors_lower_the_rate():
    own = given(SquareRoot(0.1, 0.0), Factors(ph=(4.5, 7.0, 9.5), aw=(0.9, 1.0)))
    told = held_at(10, 5, own, Conditions(ph=5.75, aw=0.95))

    assert told.exposure == pytest.approx(5 * 0.75 * 0.5)


def test_unverified_cardinal_values_lower_nothing():
    plain = held_at(10, 5, LISTERIA)
    told = held_at(10, 5, LISTERIA, Conditions(ph=5.0, aw=0.95))

    assert LISTERIA.factors.ph is not None
    assert told.exposure == plain.exposure
    assert "pH 5 not used: no verified cardinal values" in told.validity
    assert "aw 0.95 not used" in told.validity


def test_a_verified_water_activity_counts_only_within_its_range():
    plain = held_at(30, 5, STAPH)
    shares = [
        held_at(30, 5, STAPH, Conditions(aw=aw)).exposure / plain.exposure
        for aw in (0.90, 0.83, 0.70)
    ]

    assert shares[0] == pytest.approx((0.90 - 0.808) / (0.994 - 0.808))
    # Drier than anything tried: the driest tried counts, never "no growth".
    assert shares[1] == shares[2] == pytest.approx(0.022 / 0.186)


@pytest.mark.parametrize(
    ("temp_c", "head", "is_within"),
    [
        (5, "within -0.5 to 21 °C", True),
        (30, "outside: 30 °C lies above the warmest figure, 21 °C", False),
        (-3, "outside: -3 °C lies below the coldest figure, -0.5 °C", False),
    ],
)
def test_validity_says_whether_the_range_covers_it(temp_c, head, is_within):
    told = held_at(temp_c, 5, LISTERIA)

    assert told.validity.startswith(head)
    assert told.is_within is is_within


def test_beyond_its_range_the_law_goes_on_rather_than_stop():
    assert held_at(-3, 5, LISTERIA).exposure > 0
    assert held_at(30, 5, LISTERIA).exposure > held_at(21, 5, LISTERIA).exposure


def test_only_below_its_own_tmin_does_a_law_stop():
    assert held_at(-5, 5, LISTERIA).increase.high == 0


def test_listeria_doubles_in_62_hours_at_zero():
    assert held_at(0, 62, LISTERIA).doublings == pytest.approx(1)


def test_given_parameters_say_that_their_range_is_not_known():
    told = held_at(10, 5)

    assert told.validity.startswith("unknown")
    assert told.is_within is None
    assert told.organism.source.status == "unverified"


def test_given_parameters_beyond_their_own_ends_are_outside():
    told = held_at(50, 5, given(Cardinal(1.0, 5.0, 37.0, 45.0), Factors()))

    assert told.validity.startswith("outside: 50 °C lies above the warmest end")
    assert told.is_within is False


def test_an_unverified_organism_says_so():
    told = held_at(10, 5, ORGANISMS["escherichia-coli-o157-leafy-greens"])

    assert "unverified" in told.validity


def test_every_answer_carries_the_cautions():
    for organism in ORGANISMS.values():
        told = held_at(10, 5, organism)
        assert {ADVICE, HIGH} < set(told.cautions)
        assert (SPORES in told.cautions) is (organism.lag == "stages")


def test_what_is_not_a_pathogen_says_what_it_does_not_tell():
    told = [held_at(10, 5, one) for one in ORGANISMS.values() if one.kind != "pathogen"]

    assert len(told) == 4
    assert all(
        any("nothing of illness" in one or "Not an organism" in one for one in each)
        for each in (one.cautions for one in told)
    )


def hold(temp_c, hours=24.0):
    return np.array([0.0, hours]), np.array([temp_c, temp_c], float)


def test_the_worst_at_zero_is_a_grower_in_the_cold():
    told = worst(*hold(0), ORGANISMS.values(), Conditions())

    assert told.organism.id == "yersinia-enterocolitica"


def test_the_worst_has_the_highest_high_figure_of_all():
    for temp_c in (0, 4, 10, 20, 30, 40):
        told = worst(*hold(temp_c), ORGANISMS.values(), Conditions())
        others = [
            predict(*hold(temp_c), one, Conditions())
            for one in ORGANISMS.values()
            if one.kind == "pathogen" and one.source.is_verified
        ]
        assert told.increase.high == max(one.increase.high for one in others)


def test_the_worst_is_never_an_unverified_one():
    """The leafy greens' law is the quickest at 5 °C were it allowed."""
    alone = replace(LISTERIA, law=SquareRoot(1e-4, 0.0))
    known = [ORGANISMS["escherichia-coli-o157-leafy-greens"], alone]

    assert worst(*hold(5), known, Conditions()).organism is alone


def test_what_every_list_rules_out_is_passed_over_and_named():
    told = worst(*hold(30), ORGANISMS.values(), Conditions(ph=4.1, aw=0.90))

    assert told.organism.id == "staphylococcus-aureus"
    assert "Passed over: Listeria monocytogenes" in told.cautions[-1]


def test_where_lists_rule_out_all_none_is_passed_over():
    told = worst(*hold(20), ORGANISMS.values(), Conditions(ph=2.0))

    assert told.increase.high > 0
    assert "Passed over" not in told.cautions[-1]
    assert "not credited" in told.validity


def test_a_list_that_was_not_seen_takes_nobody_out():
    limits = [one for one in LISTERIA.limits if not one.source.is_verified]
    alone = replace(LISTERIA, limits=tuple(limits))

    assert alone.limits[0].excludes(4.0, None)
    assert not alone.cannot_grow(4.0, None)
    assert LISTERIA.cannot_grow(4.0, None)


def test_spores_are_left_out_of_a_history_that_was_hot():
    times, temps = np.array([0.0, 2.0, 6.0]), np.array([57.0, 21.0, 5.0])
    told = worst(times, temps, ORGANISMS.values(), Conditions())

    assert told.organism.lag == "none"
    assert "stages" in told.cautions[-1]


def test_without_a_verified_pathogen_there_is_no_worst():
    with pytest.raises(ValueError, match="no verified pathogen"):
        worst(*hold(5), [OWN], Conditions())


def test_the_parameters_of_every_law_go_with_its_answer():
    for organism in ORGANISMS.values():
        figures = {key: organism.parameters[key] for key in organism.parameters}
        assert figures.pop("model")
        assert len(figures) >= 2
