"""Amounts as others worked them out: one-off, repeated, kept and sparse.

data/planning_checks.json names the source of each and what of it was seen. Printed
there: the bagels of UC Berkeley's IEOR 150 (homework 4, fall 2010, solution), and the
series of Hyndman & Athanasopoulos, Forecasting: Principles and Practice, 2nd ed., 12.2,
whose answer was recalled and reproduced. The newsstand is an example of Nahmias with
costs from memory. `derived` ones were worked out by the project with other code.
Tolerances are the rounding of the printed figures and nothing else.
"""

import json
from pathlib import Path

import pytest
import scipy.stats

from lidclock.plan.demand import counted, eaters, listed, poisson
from lidclock.plan.forecast import croston
from lidclock.plan.keep import keep
from lidclock.plan.newsvendor import (
    Money,
    NormalDemand,
    amount,
    critical_ratio,
    to_add,
)
from lidclock.plan.par import to_make, to_order

_FILE = Path(__file__).parent / "data" / "planning_checks.json"
CASES = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))["cases"]}


def case(name):
    return CASES[name]["inputs"], CASES[name]["expected"], CASES[name]["recomputed"]


def test_bagels_by_the_dozen_of_days():
    """The solution cuts the ratio to two figures; its sd begins with 8."""
    given, expected, recomputed = case("nv.bagels")
    money = Money(given["cost"], given["price"], given["salvage"])
    demand = listed(dict(zip(given["vals"], given["probs"], strict=True)))

    wanted = amount(demand, money.short, money.over)

    ratio = critical_ratio(money.short, money.over)
    assert int(ratio * 100) / 100 == expected["cr"]
    assert wanted == expected["Q"]
    assert demand.mean == pytest.approx(expected["mean"], abs=1e-12)
    assert str(demand.variance**0.5).startswith(expected["sd_begins"])
    assert round(demand.variance**0.5, 2) == recomputed["sd"]
    on_hand = given["on_hand_case"]
    assert to_add(wanted, on_hand) == expected["extra_with_28_on_hand"]


def test_a_thousand_give_or_take_two_hundred():
    given, expected, recomputed = case("nv.normal1000")
    money = Money(given["cost"], given["price"], given["salvage"])
    demand = NormalDemand(given["mu"], given["sd"])
    ratio = critical_ratio(money.short, money.over)

    made = demand.portions(ratio)

    assert ratio == pytest.approx(expected["cr"])
    assert made == expected["Q"]
    assert round(demand.lost(made), 3) == recomputed["exp_lost_sales"]
    assert round(demand.sold(made), 3) == recomputed["exp_sales"]
    assert round(demand.left(made), 3) == recomputed["exp_leftover"]
    assert round(demand.profit(made, money), 2) == recomputed["exp_profit"]


def test_a_newsstand():
    """The example rounds 15.22 papers to 15."""
    given, expected, recomputed = case("nv.nahmias")
    ratio = critical_ratio(given["cu"], given["co"])

    wanted = NormalDemand(given["mu"], given["sd"]).amount(ratio)

    assert round(ratio, 2) == expected["cr"]
    assert round(wanted, 2) == recomputed["Q"]
    assert round(wanted) == expected["Q"]


def test_a_dinner_for_a_rowing_club():
    """112 guests, sd 6; one too few costs 9, one too many 3."""
    given, expected, recomputed = (
        CASES["scen.cater.count"],
        *case("scen.cater.count")[1:],
    )
    assert given["topic"] == "guests mean 112 sd 6, cu 9, co 3"
    ratio, guests = critical_ratio(9, 3), NormalDemand(112, 6)

    assert ratio == expected["cr"]
    assert round(guests.amount(ratio), 2) == recomputed["raw"]
    assert guests.portions(ratio) == expected["Q"]


def test_normal_demand_agrees_with_scipy():
    """scipy's own quantile, and its integral of the loss."""
    theirs = scipy.stats.norm(150, 25)

    wanted = NormalDemand(150, 25).amount(0.8)

    assert wanted == pytest.approx(theirs.ppf(0.8), rel=1e-12)
    # Project notes on planning, item 3: 150/25 at 80 % is 171.
    assert round(wanted) == 171
    for made in (90, 150, 171, 260):
        lost = theirs.expect(lambda wanted, made=made: wanted - made, lb=made)
        assert NormalDemand(150, 25).lost(made) == pytest.approx(lost, abs=1e-7)


def test_par_is_a_quantile_and_not_the_mean():
    given, expected, _ = case("par.poisson")
    demand = poisson(given["mean"])

    assert to_make(demand, given["service"]) == expected
    # As printed in tables of the Poisson distribution, four figures.
    assert round(demand.at_most(9), 4) == 0.9161
    assert round(demand.at_most(10), 4) == 0.9574


def test_par_of_what_varies_more():
    """Project notes on planning, item 5: variance 14 is r = 4.5, p = 3/7, so 13."""
    demand = counted(6, 14)

    assert to_make(demand, 0.95) == 13
    assert scipy.stats.nbinom.ppf(0.95, 4.5, 3 / 7) == 13


def test_the_order_form_of_the_trade():
    given, expected, _ = case("par.order")

    result = to_order(
        given["use_per_day"], given["lead"], given["review"], given["on_hand"]
    )

    assert result == expected


def test_how_many_of_six_to_keep():
    """The table: s -> expected leftovers if s stay, and the odds that s are wanted."""
    given, expected, table = case("freeze.now")
    demand = poisson(given["mean_demand_to_last_day"])

    kept = keep(given["n"], demand, given["cost_wasted"], given["cost_of_thaw_fuss"])

    assert kept.keep == expected["keep"]
    assert kept.freeze == given["n"] - expected["keep"]
    for portion, (left, odds) in table.items():
        assert round(kept.left[int(portion) - 1], 4) == left
        assert round(kept.odds[int(portion) - 1], 4) == odds


def test_croston_on_three_years_of_a_slow_product():
    given, expected, recomputed = case("croston.productC")

    known = croston(given["series"])

    assert round(known.size, 3) == expected["demand"]
    assert round(known.gap, 3) == expected["interval"]
    assert round(known.rate, 3) == expected["rate"]
    assert round(known.corrected, 3) == recomputed["SBA"]


def test_eaters_of_a_meal_agree_with_the_rounded_normal():
    """The share from half below to half above each number, out of scipy."""
    demand = eaters(112, 6)

    for number in (95, 112, 117, 131):
        below, above = scipy.stats.norm.cdf([number - 0.5, number + 0.5], 112, 6)
        odds = demand.at_least(number) - demand.at_least(number + 1)
        assert odds == pytest.approx(above - below, abs=1e-14)
