"""The solver against scipy's, against exact series, and against itself."""

import numpy as np
import pytest
from scipy import special
from scipy.integrate import solve_ivp

from lidclock.heat.bodies import Case, grid_of
from lidclock.heat.curves import Curve, curve_of
from lidclock.heat.load import load_foods
from lidclock.heat.properties import curve_from
from lidclock.heat.series import Direction, bessel, seconds_to, series_of
from lidclock.heat.shape import brick_factor, disc_factor, rod_factor
from lidclock.heat.solver import time_to

FOODS = {name: food.composition for name, food in load_foods().items()}
PLAIN = curve_of(
    np.array([-50.0, 200.0]), np.array([0, 250 * 3.6e6]), np.array([0.5, 0.5])
)


def lines_hours(curve, case, target_c, nodes=40):
    """The same body by the method of lines: scipy's BDF on the enthalpies."""
    grid = grid_of(case.shape, case.radius_m, nodes)
    film = case.film_w_m2k * grid.face_area / grid.volumes[-1]

    def rate(_, heat):
        potential = np.interp(heat, curve.heat_j_m3, curve.potential_w_m)
        change = grid.flows @ potential
        face_c = np.interp(heat[-1], curve.heat_j_m3, curve.temp_c)
        change[-1] += film * (case.medium_c - face_c)
        return change

    def passed(_, heat):
        return np.interp(heat[0], curve.heat_j_m3, curve.temp_c) - target_c

    passed.terminal = True
    start = np.full(nodes + 1, curve.heat_at(case.start_c))
    found = solve_ivp(rate, (0, 1e7), start, "BDF", events=passed, rtol=1e-6, atol=1e2)
    return found.t_events[0][0] / 3600


@pytest.mark.parametrize(
    ("food", "case", "target_c"),
    [
        ("chili-beans", Case("slab", 0.025, 5, -18, 8), -15),
        ("chili-beans", Case("slab", 0.025, -18, 4, 8), 0),
        ("chicken-stock", Case("cylinder", 0.04, 5, -18, 8), -10),
        ("chicken-broth", Case("slab", 0.01, -18, 4, 8), 0),
        ("ground-beef-raw", Case("sphere", 0.03, -18, 20, 9), 0),
        ("cheddar", Case("slab", 0.02, 15, -18, 7), -10),
        ("beef-stew", Case("slab", 0.03, 60, -18, 7), 5),
    ],
)
def test_food_freezes_and_thaws_as_by_the_method_of_lines(food, case, target_c):
    """Three times as many volumes and another scheme: within 1 %."""
    curve = curve_from(FOODS[food])
    told = time_to(curve, [case], target_c).hours[0]

    assert told == pytest.approx(lines_hours(curve, case, target_c), rel=0.01)


@pytest.mark.parametrize("shape", ["slab", "cylinder", "sphere"])
@pytest.mark.parametrize("where", ["centre", "mean"])
@pytest.mark.parametrize("film", [2.0, 20.0, 200.0])
def test_plain_bodies_cool_as_the_exact_series_says(shape, where, film):
    case = Case(shape, 0.03, 60, 3, film)
    exact = seconds_to(
        [Direction(shape, 0.03)],
        (21.1 - 3) / 57,
        conductivity_w_mk=0.5,
        heat_capacity_j_m3k=3.6e6,
        film_w_m2k=film,
        where=where,
    )

    # Twelve volumes are 0.1 % off, 0.5 % where the film hardly holds heat back.
    slack = 0.006 if film > 100 else 0.002
    assert 3600 * time_to(PLAIN, [case], 21.1, where=where).hours[0] == pytest.approx(
        exact, rel=slack
    )


def test_errors_fall_with_the_square_of_the_nodes():
    case = Case("slab", 0.03, 60, 3, 200)
    exact = seconds_to(
        [Direction("slab", 0.03)],
        (21.1 - 3) / 57,
        conductivity_w_mk=0.5,
        heat_capacity_j_m3k=3.6e6,
        film_w_m2k=200,
    )
    missed = [
        abs(3600 * time_to(PLAIN, [case], 21.1, nodes=nodes).hours[0] - exact)
        for nodes in (4, 8)
    ]

    assert 3 < missed[0] / missed[1] < 5


def test_all_heat_that_enters_is_stored():
    curve = curve_from(FOODS["chili-beans"])
    cases = [Case("sphere", 0.03, -18, 20, film) for film in (5, 50, 500)]
    run = time_to(curve, cases, 1.0)
    span = curve.heat_at(20) - curve.heat_at(-18)

    assert run.heat_in_j_m3 == pytest.approx(run.stored_j_m3, rel=1e-9)
    assert np.all(run.stored_j_m3 < span)
    assert np.all(np.diff(run.temps_c, axis=1) >= 0)


def test_bodies_side_by_side_are_those_alone():
    curve = curve_from(FOODS["chili-beans"])
    cases = [
        Case("slab", 0.02, 5, -18, 5),
        Case("sphere", 0.05, 5, -18, 50),
        Case("cylinder", 0.01, 5, -18, 500),
    ]
    together = time_to(curve, cases, -15).hours
    alone = [time_to(curve, [one], -15).hours[0] for one in cases]

    assert together == pytest.approx(alone, rel=1e-3)


@pytest.mark.parametrize("target_c", [5.0, -18.0, 6.0, -20.0])
def test_a_target_that_is_never_passed_is_refused(target_c):
    with pytest.raises(ValueError, match="never passed"):
        time_to(PLAIN, [Case("slab", 0.02, 5, -18, 8)], target_c)


def test_bodies_of_different_courses_are_refused():
    cases = [Case("slab", 0.02, 5, -18, 8), Case("slab", 0.02, 6, -18, 8)]

    with pytest.raises(ValueError, match="share their start"):
        time_to(PLAIN, cases, -15)


@pytest.mark.parametrize(
    ("shape", "radius", "film"),
    [("cube", 0.1, 8), ("slab", 0, 8), ("slab", 0.1, 0), ("slab", float("nan"), 8)],
)
def test_an_impossible_body_is_refused(shape, radius, film):
    with pytest.raises(ValueError, match="must be"):
        Case(shape, radius, 5, -18, film)


def test_a_curve_that_falls_is_refused():
    rising, falling = np.array([0.0, 1, 2]), np.array([0.0, 2, 1])

    with pytest.raises(ValueError, match="heat_j_m3 must rise"):
        Curve(rising, falling, rising)


def test_bessels_functions_are_scipys():
    values = np.linspace(0, 130, 1000)

    assert bessel(0, values) == pytest.approx(special.j0(values), abs=1e-12)
    assert bessel(1, values) == pytest.approx(special.j1(values), abs=1e-12)


@pytest.mark.parametrize("shape", ["slab", "cylinder", "sphere"])
@pytest.mark.parametrize("biot", [0.01, 0.5, 1.0, 20.0, 1000.0])
def test_a_series_begins_with_all_of_the_excess(shape, biot):
    """Its weights add up to one and its roots rise; for the mean, its terms do."""
    centre, mean = series_of(shape, biot), series_of(shape, biot, "mean")

    assert np.all(np.diff(centre.roots) > 2)
    assert centre.excess(0.01) == pytest.approx(1.0, abs=0.01)
    assert mean.weights.sum() == pytest.approx(1.0, abs=0.02)


def test_one_term_is_lumped_where_the_film_is_all():
    """Bi near 0: a slab of volume over face R cools as exp(-Bi Fo)."""
    series = series_of("slab", 1e-4)

    assert series.excess(1e4) == pytest.approx(np.exp(-1.0), rel=1e-3)


@pytest.mark.parametrize("left", [0.0, 1.0, -1.0, float("nan")])
def test_a_share_that_is_never_left_is_refused(left):
    with pytest.raises(ValueError, match="left must lie"):
        seconds_to(
            [Direction("slab", 0.02)],
            left,
            conductivity_w_mk=0.5,
            heat_capacity_j_m3k=3.6e6,
            film_w_m2k=8,
        )


def test_factors_are_those_of_their_limits():
    """Film alone: the face over that of a slab. Sides far apart: the slab's own."""
    assert brick_factor(1e-6, 2, 4) == pytest.approx(1 + 1 / 2 + 1 / 4, abs=1e-4)
    assert brick_factor(1.0, 1e6, 1e6) == pytest.approx(1.0, abs=1e-4)
    assert disc_factor(1e-6, 2) == pytest.approx(2.0, abs=1e-4)
    assert rod_factor(1.0, 1e6) == pytest.approx(2.0, abs=1e-4)
    assert rod_factor(1e-6, 1) == pytest.approx(3.0, abs=1e-4)
    assert brick_factor(1.0, 2, 4) == brick_factor(1.0, 4, 2)


@pytest.mark.parametrize(("biot", "ratio"), [(0, 2), (1, 0.9), (1, float("nan"))])
def test_an_impossible_factor_is_refused(biot, ratio):
    with pytest.raises(ValueError, match="must be"):
        disc_factor(biot, ratio)
