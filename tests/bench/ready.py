"""How soon a prediction of cooling, freezing or thawing is there."""

from __future__ import annotations

import json
import statistics
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
from scipy.integrate import solve_ivp

from lidclock.app import prep, setup
from lidclock.app.prep import Order
from lidclock.app.ready import ready as foretell
from lidclock.app.session import Session
from lidclock.app.takeout import takeouts as when
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.planning import Choices, FoodPlan
from lidclock.heat.bodies import NODES, Case, grid_of
from lidclock.heat.load import load_foods
from lidclock.heat.predict import Body, Course, predict
from lidclock.heat.properties import Composition, curve_from

ROUNDS = 7
NOW = datetime(2026, 11, 2, 17, tzinfo=UTC)
_TUB = {"food": "beef-stew", "shape": "brick", "size_mm": [50, 140, 140]}
_READ = {
    "cooled": {
        **_TUB,
        **{"start_c": 60, "medium_c": 4, "until": {"temp_c": 8}},
        "readings": [[1, 47], [2, 34]],
    },
    "thawed": {
        **_TUB,
        **{"start_c": -18, "medium_c": 4, "until": {"temp_c": 0}},
        "readings": [[3, -5], [6, -3]],
    },
}
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

    for name, document in _READ.items():
        text = json.dumps(document)
        foretell(text)
        taken = [_seconds(lambda text=text: foretell(text)) for _ in range(ROUNDS)]
        yield f"{name}, with two readings: {_ms(taken)} (goal < 100 ms)"


def takeouts(folder: Path) -> Iterator[str]:
    """When to take a container out: the first of a food, and others of it."""
    session, codes = _kitchen(folder / "takeouts.db")
    first, others = [], []
    with session.read() as unit:
        for round_ in range(ROUNDS):
            plan = FoodPlan(thick_mm=40.0 + round_, model="beef-stew")
            choices = Choices(foods={"stew": plan})
            for index, code in enumerate(codes):
                unit.view(code)
                taken = _seconds(
                    lambda code=code, choices=choices: when(
                        unit, code, NOW + timedelta(days=3), choices=choices
                    )
                )
                (others if index else first).append(taken)
    other_ms = 1000 * statistics.median(others)
    yield f"first of a food {_ms(first)}, another {other_ms:.2f} ms"
    yield "goal: one container < 40 ms"


def _kitchen(path: Path) -> tuple[Session, list[str]]:
    setup.init_kitchen(path, Kitchen("", "Bench", "America/New_York"))
    session = Session.open(path, now=NOW)
    order = Order(
        Food("stew", "soup-stew", ()),
        20,
        portion_g=350.0,
        place=session.place("Freezer"),
    )
    with session.write() as unit:
        return session, list(prep.prep(unit, order).codes)


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
