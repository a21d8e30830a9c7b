"""A prediction along legs: sums by hand, crossings, what lies beyond the figures."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.kinetics.load import load_library
from lidclock.kinetics.predict import Conditions, predict
from lidclock.kinetics.rates import SquareRoot
from lidclock.kinetics.unfolding import Leg, Ranged, Unfolding, worst_unfolding

LN2, LN10 = math.log(2), math.log(10)
ORGANISMS = load_library().organisms
NOTHING = Conditions()
# b 0.1 and tmin 0: at 10 °C the rate is 1 ln unit an hour.
PLAIN = replace(
    ORGANISMS["listeria-monocytogenes"], law=SquareRoot(0.1, 0.0), valid_c=(0.0, 20.0)
)


def leg(*points):
    return Leg(np.array([h for h, _ in points]), np.array([c for _, c in points]))


# Three hours at 10 °C, five in a freezer, two from 0 up to 20 °C.
LEGS = [
    leg((0.0, 10.0), (3.0, 10.0)),
    leg((3.0, -18.0), (8.0, -18.0)),
    leg((8.0, 0.0), (10.0, 20.0)),
]


def test_legs_add_up():
    """3 + 0 + b² x² / 3 x 2 h = 4 / 3 x 2 = 2.6667 for 20 degrees above tmin."""
    told = Unfolding(LEGS, PLAIN, NOTHING).total

    assert told.mid == pytest.approx((3 + 8 / 3) / LN10)
    assert told.low == pytest.approx(told.mid / 2)
    assert told.high == pytest.approx(told.mid * 2)


def test_the_band_grows_only_where_something_grows():
    _, mid, _ = Unfolding(LEGS, PLAIN, NOTHING).band(
        np.array([0.0, 1.5, 3.0, 5.0, 8.0, 9.0, 10.0])
    )

    # The cube of the share of a rise from tmin: half the time has an eighth.
    assert mid * LN10 == pytest.approx([0, 1.5, 3, 3, 3, 3 + 1 / 3, 3 + 8 / 3])


def test_the_moment_of_a_crossing_is_exact():
    """The high figure counts twice: 2 ln 2 are passed at ln 2 hours of 10 °C."""
    high, middle = Unfolding(LEGS, PLAIN, NOTHING).passes(2)

    assert high == pytest.approx(LN2, rel=1e-12)
    assert middle == pytest.approx(2 * LN2, rel=1e-12)


def test_a_crossing_on_a_slope_solves_the_cube():
    """5 doublings are 3.4657, 0.4657 of them on the slope: b² 10² t³ / 3 = t³ / 3."""
    _, middle = Unfolding(LEGS, PLAIN, NOTHING).passes(5)

    assert middle == pytest.approx(8 + (3 * (5 * LN2 - 3)) ** (1 / 3), rel=1e-9)


def test_what_is_never_reached_has_no_moment():
    assert Unfolding(LEGS, PLAIN, NOTHING).passes(50) == (None, None)


def test_a_freezer_is_no_matter_for_the_range():
    assert Unfolding(LEGS, PLAIN, NOTHING).range() == (True, "within 0 to 20 °C")


def test_growth_beyond_the_figures_is_told():
    """Up to 10 °C: 3 and 1/3 of 5.667, so 41 % lie beyond."""
    narrow = replace(PLAIN, valid_c=(0.0, 10.0))
    is_within, words = Unfolding(LEGS, narrow, NOTHING).range()

    assert is_within is False
    assert words.startswith("outside: 41% of the increase was counted below 0 or")


def test_a_range_counts_only_what_lies_in_it():
    law = Ranged(SquareRoot(0.1, 0.0), 0.0, 10.0)

    assert law.mean_rate(0.0, 20.0) == pytest.approx(1 / 6)
    assert law.rate([10.0, 10.1, -1.0]) == pytest.approx([1, 0, 0])
    assert (law.tmin_c, law.tmax_c, law.optimum_c) == (0, 10, 10)


def test_the_worst_has_the_highest_high_figure():
    slow = replace(PLAIN, id="slow", law=SquareRoot(0.05, 0.0))
    found = worst_unfolding(LEGS, [slow, PLAIN], NOTHING, 50)

    assert found.organism is PLAIN
    assert worst_unfolding(LEGS, [], NOTHING, 50) is None


def test_what_passes_first_is_worse_than_what_shows_more_in_the_end():
    """At 20 °C for two hours a heat lover passes one doubling before a cold lover does,
    which has grown more after 100 hours at 5 °C."""
    legs = [leg((0.0, 20.0), (2.0, 20.0)), leg((2.0, 5.0), (102.0, 5.0))]
    warm = replace(PLAIN, id="warm", law=SquareRoot(0.1, 6.0))
    cold = replace(PLAIN, id="cold", law=SquareRoot(0.05, 0.0))
    grown = [Unfolding(legs, one, NOTHING).total.mid * LN10 for one in (warm, cold)]

    assert grown == pytest.approx([2 * 1.96, 2 + 6.25])
    assert worst_unfolding(legs, [cold, warm], NOTHING, 1).organism is warm


def test_legs_that_do_not_touch_are_refused():
    with pytest.raises(ValueError, match=r"must touch: 3\.0 h, then 8\.0 h"):
        Unfolding([LEGS[0], LEGS[2]], PLAIN, NOTHING)
    with pytest.raises(ValueError, match="at least one leg"):
        Unfolding([], PLAIN, NOTHING)


@pytest.mark.parametrize("name", ORGANISMS)
@given(
    temps=st.lists(st.floats(-20, 60), min_size=2, max_size=6),
    cut=st.floats(0.05, 0.95),
)
def test_cutting_a_history_into_legs_changes_nothing(name, temps, cut):
    times, temps = np.arange(len(temps), dtype=float), np.array(temps)
    at = cut * times[-1]
    here = float(np.interp(at, times, temps))
    before, after = times < at, times > at
    legs = [
        Leg(np.r_[times[before], at], np.r_[temps[before], here]),
        Leg(np.r_[at, times[after]], np.r_[here, temps[after]]),
    ]
    whole = predict(times, temps, ORGANISMS[name], NOTHING).increase
    told = Unfolding(legs, ORGANISMS[name], NOTHING).total

    assert told.mid == pytest.approx(whole.mid, rel=1e-6, abs=1e-9)
    assert told.high == pytest.approx(whole.high, rel=1e-6, abs=1e-9)


def test_a_cool_is_left_to_the_stages():
    cool = Leg(np.array([0.0, 6.0]), np.array([60.0, 5.0]), is_cool=True)
    kept = leg((6.0, 10.0), (9.0, 10.0))
    told = Unfolding([cool, kept], PLAIN, NOTHING)

    assert told.total.mid * LN10 == pytest.approx(3)
    assert told.range()[0] is True
    assert told.passes(2)[1] == pytest.approx(6 + 2 * LN2)
