"""How soon a prediction of cooling, freezing or thawing is there."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp

from lidclock.heat.bodies import NODES, Case, grid_of
from lidclock.heat.load import load_foods
from lidclock.heat.predict import Body, Course, predict
from lidclock.heat.properties import Composition, curve_from

ROUNDS = 7
COURSES = {
    "frozen through": ("chili-beans", Course(5, -18, -15)),
    "thawed": ("chili-beans", Course(-18, 4, 0)),
    "thin broth thawed": ("chicken-broth", Course(-18, 4, 0)),
}


def ready(_: Path) -> Iterator[str]:
    """One prediction, and one of a band, against scipy's solver on the same volumes."""
    body = Body("slab", (0.03,))
    for name, (food, course) in COURSES.items():
        made_of = load_foods()[food].composition
        ours, band, floor = _in_turn(made_of, body, course)
        yield f"{name}: scipy {_ms(floor)}, one {_ms(ours)}, a band {_ms(band)}"
        ratio = statistics.median(ours) / statistics.median(floor)
        yield f"ratio {ratio:.2f} (no goal; one prediction < 100 ms)"


def _in_turn(
    food: Composition, body: Body, course: Course
) -> tuple[list[float], list[float], list[float]]:
    """Seconds of one prediction, of a band of three, and of scipy's."""
    ours, band, floor = [], [], []
    for _ in range(ROUNDS):
        curve_from.cache_clear()
        ours.append(_seconds(lambda: predict(food, body, course, [8.0])))
        curve_from.cache_clear()
        band.append(_seconds(lambda: predict(food, body, course, [10.0, 8.0, 6.0])))
        floor.append(_seconds(lambda: _lines(food, course)))
    return ours, band, floor


def _lines(food: Composition, course: Course) -> None:
    """The same volumes by scipy's BDF, as exact as ours."""
    curve = curve_from(food)
    case = Case("slab", 0.015, course.start_c, course.medium_c, 8.0)
    grid = grid_of("slab", case.radius_m, NODES)
    film = 8.0 / grid.volumes[-1]

    def rate(_, heat):
        change = grid.flows @ np.interp(heat, curve.heat_j_m3, curve.potential_w_m)
        face = np.interp(heat[-1], curve.heat_j_m3, curve.temp_c)
        change[-1] += film * (case.medium_c - face)
        return change

    def passed(_, heat):
        return np.interp(heat[0], curve.heat_j_m3, curve.temp_c) - course.target_c

    passed.terminal = True
    start = np.full(NODES + 1, curve.heat_at(course.start_c))
    solve_ivp(rate, (0, 1e7), start, "BDF", events=passed, rtol=1e-4, atol=1e4)


def _seconds(work: Callable[[], object]) -> float:
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def _ms(taken: list[float]) -> str:
    return f"{1000 * statistics.median(taken):.0f} ms"
