"""Kinetics over generated histories: against scipy's solvers, and what always holds.

Promise 5: prediction only warns earlier. No model may reach a limit; that no package
that makes limits can import one is in test_layers.py.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

from lidclock.kinetics.arrhenius import Exponential
from lidclock.kinetics.cardinal import Cardinal
from lidclock.kinetics.exposure import Exposure
from lidclock.kinetics.extended import ExtendedSquareRoot
from lidclock.kinetics.factors import Factors
from lidclock.kinetics.held import Held
from lidclock.kinetics.lag import lagged
from lidclock.kinetics.lethality import equivalent_minutes
from lidclock.kinetics.load import load_library
from lidclock.kinetics.predict import Conditions, predict
from lidclock.kinetics.predict import given as given_law
from lidclock.kinetics.primary import growth_ln
from lidclock.kinetics.rates import SquareRoot
from lidclock.kinetics.steps import Steps

SOLVED = 60  # solvers are slow: fewer examples than elsewhere
ORGANISMS = list(load_library().organisms.values())


def floats(low, high):
    return st.floats(low, high, allow_nan=False)


@st.composite
def cardinals(draw):
    tmin = draw(floats(-5, 12))
    width = draw(floats(20, 50))
    peak = draw(floats(0.52, 0.99))
    return Cardinal(draw(floats(0.1, 7)), tmin, tmin + peak * width, tmin + width)


@st.composite
def extendeds(draw):
    tmin = draw(floats(-5, 12))
    tmax = tmin + draw(floats(20, 50))
    return ExtendedSquareRoot(
        draw(floats(0.01, 0.06)), tmin, draw(floats(0.01, 3)), tmax
    )


square_roots = st.builds(SquareRoot, floats(0.01, 0.06), floats(-12, 12))
steps = st.just(Steps((0.0, 5.0, 10.0, 60.0), (0.02, 0.1, 0.7)))
bare = st.one_of(square_roots, extendeds(), cardinals(), steps)
laws = st.one_of(bare, bare.map(Held))


@st.composite
def profiles(draw, low=-20.0, high=70.0, most=8):
    count = draw(st.integers(2, most))
    hours = draw(st.lists(floats(0.05, 20), min_size=count - 1, max_size=count - 1))
    temps = draw(st.lists(floats(low, high), min_size=count, max_size=count))
    # No probe tells a millionth of a degree, and no solver sees what happens within it.
    return np.concatenate([[0.0], np.cumsum(hours)]), np.round(temps, 6)


def corners(law, start, end):
    """Where the rate has a corner within a run, by share of the run."""
    inner = law.law if isinstance(law, Held) else law
    marks = [law.tmin_c, law.tmax_c, law.optimum_c, inner.tmax_c]
    marks += list(inner.edges_c) if isinstance(inner, Steps) else []
    marks += [law.until_c] if isinstance(law, Held) else []
    if start == end:
        return []
    shares = {(mark - start) / (end - start) for mark in marks}
    return sorted(one for one in shares if 0 < one < 1)


def by_quadrature(times, temps, law):
    """The integral of the rate, piece by piece between its corners."""
    total = 0.0
    for i in range(len(times) - 1):
        start, end, hours = temps[i], temps[i + 1], times[i + 1] - times[i]
        cuts = [0.0, *corners(law, start, end), 1.0]
        for left, right in pairwise(cuts):
            # Just inside: on a corner itself a step belongs to one side.
            span = right - left
            value, _ = quad(
                lambda x, a=left, s=span, b=start, e=end: float(
                    law.rate(b + (e - b) * (a + s * min(max(x, 1e-12), 1 - 1e-12)))
                ),
                0,
                1,
                epsabs=1e-13,
                epsrel=1e-11,
                limit=200,
            )
            total += value * span * hours
    return total


@settings(max_examples=SOLVED)
@given(laws, profiles())
def test_exposure_is_the_integral_that_quadrature_finds(law, profile):
    times, temps = profile
    expected = by_quadrature(times, temps, law)
    peak = float(law.rate(min(law.optimum_c, 70.0)))
    scale = peak * (times[-1] - times[0])

    assert Exposure(times, temps, law).total == pytest.approx(
        expected, rel=1e-8, abs=1e-9 * max(scale, 1e-3)
    )


@settings(max_examples=SOLVED)
@given(floats(1e-4, 1.0), floats(0.01, 0.4), profiles(-5, 40))
def test_an_exponential_law_is_integrated_exactly(at_zero, per_c, profile):
    times, temps = profile
    law = Exponential(at_zero, per_c)

    assert Exposure(times, temps, law).total == pytest.approx(
        by_quadrature(times, temps, law), rel=1e-8
    )


@settings(max_examples=SOLVED)
@given(
    st.one_of(square_roots, cardinals()),
    profiles(0, 40, 5),
    floats(0.05, 6),
    floats(1, 18),
)
def test_the_closed_form_solves_the_equations_of_baranyi_and_roberts(
    law, profile, h0, room
):
    """dq/dt = mu q, dy/dt = mu q/(1+q) (1 - exp(y - ymax)), by scipy's solver."""
    times, temps = profile

    def slope(t, state):
        log_q, y = state
        mu = float(law.rate(np.interp(t, times, temps)))
        share = 1 / (1 + math.exp(-log_q))
        return [mu, mu * share * (1 - math.exp(min(y - room, 0.0)))]

    state = [-math.log(math.expm1(h0)), 0.0]
    for begin, end in pairwise(times):
        # Short steps: a run may cross the whole range of growth between two long ones.
        state = solve_ivp(
            *(slope, (begin, end), state),
            method="LSODA",
            rtol=1e-9,
            atol=1e-10,
            max_step=(end - begin) / 60,
        ).y[:, -1]
    found = float(growth_ln(Exposure(times, temps, law).total, h0, room))

    assert found == pytest.approx(state[1], rel=2e-5, abs=2e-5)


@settings(max_examples=SOLVED)
@given(profiles(-20, 40), floats(0.02, 30), floats(-20, 60))
def test_food_behind_air_solves_its_equation(profile, tau, start):
    times, air = profile
    state = [start]
    expected = [start]
    for begin, end in pairwise(times):
        state = solve_ivp(
            lambda t, y: [(np.interp(t, times, air) - y[0]) / tau],
            (begin, end),
            state,
            method="LSODA",
            rtol=1e-9,
            atol=1e-9,
        ).y[:, -1]
        expected.append(state[0])

    assert lagged(times, air, tau, start) == pytest.approx(expected, abs=1e-5)


@given(profiles(-20, 40, 40), floats(0.001, 100), floats(-20, 60))
def test_food_stays_between_its_start_and_the_air(profile, tau, start):
    times, air = profile
    found = lagged(times, air, tau, start)

    assert found.min() >= min(start, air.min()) - 1e-9
    assert found.max() <= max(start, air.max()) + 1e-9


@settings(max_examples=SOLVED)
@given(profiles(40, 90), floats(4, 15))
def test_lethality_is_the_integral_that_quadrature_finds(profile, z_c):
    times, temps = profile
    expected = sum(
        quad(
            lambda x, i=i: (
                10 ** ((temps[i] + (temps[i + 1] - temps[i]) * x - 70) / z_c)
            ),
            0,
            1,
            epsrel=1e-11,
        )[0]
        * (times[i + 1] - times[i])
        for i in range(len(times) - 1)
    )

    assert equivalent_minutes(times, temps, ref_c=70, z_c=z_c) == pytest.approx(
        expected, rel=1e-8
    )


@given(laws, profiles(most=30), st.lists(floats(0, 1), min_size=1, max_size=6))
def test_exposure_splits_and_adds_up(law, profile, cuts):
    """Whatever the cuts: the parts add up to the whole, and none is below 0."""
    times, temps = profile
    exposure = Exposure(times, temps, law, block=8)
    marks = np.sort(times[0] + np.array([0.0, *cuts, 1.0]) * (times[-1] - times[0]))
    marks[-1] = times[-1]
    parts = exposure.between(marks[:-1], marks[1:])

    assert (parts >= 0).all()
    assert parts.sum() == pytest.approx(exposure.total, rel=1e-9, abs=1e-12)


@given(laws, profiles(most=12), floats(0, 1))
def test_a_point_put_on_the_line_changes_nothing(law, profile, share):
    times, temps = profile
    middle = times[0] + share * (times[1] - times[0])
    if not times[0] < middle < times[1]:
        return
    on_it = temps[0] + (middle - times[0]) / (times[1] - times[0]) * (
        temps[1] - temps[0]
    )
    longer = Exposure(np.insert(times, 1, middle), np.insert(temps, 1, on_it), law)
    scale = float(law.rate(min(law.optimum_c, 70.0))) * (times[-1] - times[0])

    # A step of a table may fall on either side of a rounded point.
    assert longer.total == pytest.approx(
        Exposure(times, temps, law).total, rel=1e-9, abs=1e-9 * max(scale, 1e-3)
    )


@given(laws, profiles(most=12), floats(0.1, 30))
def test_more_time_never_means_less(law, profile, more_h):
    times, temps = profile
    longer = np.append(times, times[-1] + more_h), np.append(temps, temps[-1])
    before, after = Exposure(times, temps, law).total, Exposure(*longer, law).total

    assert after >= before * (1 - 1e-12)


@given(bare, profiles(-20, 70, 12), floats(0, 15))
def test_more_warmth_below_the_optimum_never_means_less(law, profile, warmer_c):
    times, temps = profile
    top = min(law.optimum_c, 70.0)
    cool = np.minimum(temps, top)
    warm = np.minimum(cool + warmer_c, top)
    before, after = (Exposure(times, one, law).total for one in (cool, warm))

    assert after >= before * (1 - 1e-9) - 1e-12


@given(bare, profiles(-20, 57.2, 12), floats(0, 15))
def test_held_more_warmth_never_means_less_up_to_135_fahrenheit(law, profile, warmer):
    times, temps = profile
    if isinstance(law, Steps) or law.tmax_c < law.optimum_c:
        return
    held = Held(law)
    warm = np.minimum(temps + warmer, 57.2)
    before, after = (Exposure(times, one, held).total for one in (temps, warm))

    assert after >= before * (1 - 1e-9) - 1e-12


@st.composite
def conditions(draw):
    start = draw(st.none() | floats(0, 6))
    return Conditions(
        ph=draw(st.none() | floats(0, 14)),
        aw=draw(st.none() | floats(0, 1)),
        h0=draw(floats(0, 8)),
        start_log10=start,
        max_log10=None if start is None else start + draw(floats(0, 9)),
    )


@given(st.sampled_from(ORGANISMS), profiles(most=12), conditions())
def test_the_band_is_in_order_and_never_below_zero(organism, profile, under):
    told = predict(*profile, organism, under)
    band = told.increase

    assert 0 <= band.low <= band.mid <= band.high
    assert told.exposure >= 0
    assert band.high <= under.room_ln / math.log(10) + 1e-9
    assert all(map(math.isfinite, (band.high, told.exposure, told.doublings)))


@given(cardinals(), profiles(most=8), floats(4.6, 9.4), floats(0.91, 1))
def test_a_measured_ph_or_dryness_can_only_lower_a_rate(law, profile, ph, aw):
    organism = given_law(law, Factors(ph=(4.5, 7.0, 9.5), aw=(0.9, 1.0)))
    plain = predict(*profile, organism, Conditions())
    told = predict(*profile, organism, Conditions(ph=ph, aw=aw))

    assert told.exposure <= plain.exposure * (1 + 1e-12)


@given(st.lists(floats(0, 60), min_size=1, max_size=5), floats(0, 8), floats(0.01, 20))
def test_lag_and_ceiling_never_add(exposures, h0, room):
    exposure = np.sort(exposures)
    grown = growth_ln(exposure, h0, room)

    assert (grown <= np.minimum(exposure, room) + 1e-9).all()
    # The lag costs at most h0, and slowing down before the ceiling a doubling.
    assert (grown >= np.minimum(exposure - h0, room) - math.log(2) - 1e-9).all()
    assert (np.diff(grown) >= -1e-12).all()
