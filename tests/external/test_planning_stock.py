"""What the order of use wastes: exact where it can be, and simulated beside it.

data/planning_checks.json, issue.* and basestock.*. The first model (Poisson supply and
demand, one life) is the one that Keilson & Seidmann (1990) and Parlar, Perry & Stadje
(2011) compare; the second (order up to S each day, a life of m days, unmet demand lost)
is that of Nahmias, Perishable Inventory Systems (2011). The figures are derived: closed
forms by level crossing and by the busy period of a queue, and an exact Markov chain.
Here closed forms and chain are computed anew, the chain with lidclock's demand, and
lidclock's order of use is played against them.
"""

import itertools
import json
import math
import random
from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import mean, stdev

import numpy as np
import pytest
import scipy.integrate
import scipy.special

from lidclock.plan.allot import Need, allot
from lidclock.plan.demand import poisson
from lidclock.plan.lots import Lot
from lidclock.plan.par import Step, expected_outdating

_FILE = Path(__file__).parent / "data" / "planning_checks.json"
CASES = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))["cases"]}
ISSUE = [CASES["issue.1.0-1.1-7"], CASES["issue.0.9-1.0-4"]]
BASESTOCK = [CASES["basestock.S8.m2"], CASES["basestock.S8.m3"]]
START = datetime(2026, 1, 1, tzinfo=UTC)
BATCHES, ITEMS = 12, 2_500


def by_id(case):
    return case["id"]


def oldest_first(supply, demand, life):
    """Shares of what is made that outdates, and of demand that is lost.

    The age of the oldest, upside down, is a level that is crossed as often upwards as
    downwards; its density is exponential between supply and demand.
    """
    growth = (supply - demand) * life
    span = life if growth == 0 else math.expm1(growth) / (supply - demand)
    level = 1 / (1 / supply + span)
    return level * math.exp(growth) / supply, level / supply


def newest_first(supply, demand, life):
    """The newest is served first: one outdates if a queue's busy period outlasts it.

    Density of the busy period of M/M/1 with arrivals l and service u:
    exp(-(l + u) t) I1(2 t sqrt(l u)) / (t sqrt(l / u)), l < u (Takacs 1962, memory).
    """
    root = math.sqrt(supply * demand)

    def density(at):
        # ive is I1 times exp(-x), so that neither factor runs out of range.
        scaled = scipy.special.ive(1, 2 * at * root)
        decay = math.exp(-((math.sqrt(demand) - math.sqrt(supply)) ** 2) * at)
        return decay * scaled / (at * math.sqrt(supply / demand))

    return scipy.integrate.quad(density, life, math.inf, epsabs=1e-10)[0]


@pytest.mark.parametrize("case", ISSUE, ids=by_id)
def test_the_closed_forms_give_the_shares(case):
    given, expected = case["inputs"], case["expected"]
    rates = given["lam"], given["mu"], given["T"]

    outdated, lost = oldest_first(*rates)

    assert round(outdated, 4) == expected["fifo_outdate"]
    assert round(lost, 4) == expected["fifo_lost_demand"]
    assert round(newest_first(*rates), 4) == expected["lifo_outdate"]
    # What is eaten was made, and what is served was wanted.
    assert given["lam"] * (1 - outdated) == pytest.approx(given["mu"] * (1 - lost))


def played(case, seed):
    """Shares outdated and lost, batch by batch, with lidclock's order of use."""
    rng, given = random.Random(seed), case["inputs"]
    life = timedelta(days=given["T"])

    def moments(rate, number):
        gaps = (timedelta(days=rng.expovariate(rate)) for _ in range(number))
        return itertools.accumulate(gaps, initial=START)

    made = list(moments(given["lam"], BATCHES * ITEMS))
    wanted = [at for at in moments(given["mu"], 2 * BATCHES * ITEMS) if at < made[-1]]
    lots = [
        Lot(str(number), "stew", 1, at + life, ready_at=at, made_at=at)
        for number, at in enumerate(made)
    ]
    found = allot(lots, [Need(at, "stew", 1) for at in wanted])
    short = [one.short for one in found.servings]
    outdated = [found.left[lot.code] for lot in lots]
    # The stock begins empty and ends cut off: a batch at each end is left out.
    return batches(outdated)[1:-1], batches(short)[1:-1]


def batches(values):
    size = len(values) // BATCHES
    return [mean(values[at * size : (at + 1) * size]) for at in range(BATCHES)]


@pytest.mark.parametrize("case", ISSUE, ids=by_id)
def test_the_order_of_use_comes_within_three_standard_errors(case):
    """Both shares; the seed is fixed, the errors are those of ten batches."""
    shares = played(case, seed=20261101)
    expected = case["expected"]["fifo_outdate"], case["expected"]["fifo_lost_demand"]

    for seen, share in zip(shares, expected, strict=True):
        error = stdev(seen) / math.sqrt(len(seen))
        assert abs(mean(seen) - share) < 3 * error + 5e-5
        assert error < 0.012
    # Newest first would be told apart.
    assert mean(shares[0]) < (expected[0] + case["expected"]["lifo_outdate"]) / 2


def states(size, ages):
    """All stocks by age before the day's demand, oldest first, topped up to `size`."""
    olds = itertools.product(range(size + 1), repeat=ages - 1)
    return [(*old, size - sum(old)) for old in olds if sum(old) <= size]


def after(stock, wanted, *, newest_first):
    """What is left of each age but the oldest, and how many of that one outdate."""
    left = list(stock)
    order = range(len(left) - 1, -1, -1) if newest_first else range(len(left))
    for age in order:
        taken = min(wanted, left[age])
        left[age] -= taken
        wanted -= taken
    return tuple(left[1:]), left[0]


def chain(case, *, newest_first):
    """The stationary chances of each stock; each day's demand is lidclock's Poisson."""
    given = case["inputs"]
    size, demand = given["S"], poisson(given["mean"])
    stocks = states(size, given["m"])
    place = {stock: index for index, stock in enumerate(stocks)}
    moves, outdated = np.zeros((len(stocks), len(stocks))), np.zeros(len(stocks))
    for stock, index in place.items():
        for wanted in range(size + 1):
            odds = demand.at_least(wanted) - demand.at_least(wanted + 1)
            odds = demand.at_least(size) if wanted == size else odds
            left, over = after(stock, wanted, newest_first=newest_first)
            moves[index, place[(*left, size - sum(left))]] += odds
            outdated[index] += odds * over
    balance = np.vstack([moves.T - np.eye(len(stocks)), np.ones(len(stocks))])
    target = np.append(np.zeros(len(stocks)), 1)
    chances = np.linalg.lstsq(balance, target, rcond=None)[0]
    return stocks, chances, outdated


@pytest.mark.parametrize("case", BASESTOCK, ids=by_id)
def test_the_chain_gives_what_is_wasted_each_day(case):
    given, expected = case["inputs"], case["expected"]
    demand = poisson(given["mean"])

    stocks, chances, outdated = chain(case, newest_first=False)

    wasted = float(chances @ outdated)
    assert round(wasted, 5) == expected["outdated_per_day_oldest_first"]
    # The oldest of each stock, by lidclock's own reckoning of what will outdate.
    ours = [expected_outdating([Step(stock[0], demand)]) for stock in stocks]
    assert float(chances @ ours) == pytest.approx(wasted, abs=1e-9)
    lost = demand.expected_short(given["S"])
    assert round(lost, 5) == expected["lost_per_day"]
    made = demand.mean - lost + wasted
    # Noted as the sum of two figures that were rounded before.
    check = case["recomputed"]["produced_per_day_check"]
    assert made == pytest.approx(check, abs=1e-5)
    newest = chain(case, newest_first=True)
    assert (
        round(float(newest[1] @ newest[2]), 5)
        == expected["outdated_per_day_newest_first"]
    )


@pytest.mark.parametrize("case", BASESTOCK, ids=by_id)
def test_what_will_outdate_over_a_whole_life_agrees_with_the_chain(case):
    """A stock not topped up: lidclock's steps against every course of the demands."""
    given = case["inputs"]
    demand, days = poisson(given["mean"]), given["m"]
    most = given["S"]
    odds = [demand.at_least(one) - demand.at_least(one + 1) for one in range(most)]
    odds.append(demand.at_least(most))
    for stock in states(most, days)[:: 1 if days == 2 else 9]:
        total = 0.0
        for way in itertools.product(range(most + 1), repeat=days):
            chance, left = math.prod(odds[wanted] for wanted in way), stock
            for wanted in way:
                rest, over = after(left, wanted, newest_first=False)
                left = (*rest, 0)
                total += chance * over
        steps = [Step(number, demand) for number in stock]
        assert expected_outdating(steps) == pytest.approx(total, abs=1e-9)
