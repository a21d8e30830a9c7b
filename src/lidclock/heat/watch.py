"""What the centre of a body measures at given times, film by film."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from lidclock.heat.bodies import NODES, Case
from lidclock.heat.curves import Curve, Floats
from lidclock.heat.predict import Body, Course, between, directions, one_way, shares_of
from lidclock.heat.properties import Composition, curve_from
from lidclock.heat.series import product_of
from lidclock.heat.solver import MOST_STEPS
from lidclock.heat.stepping import Bodies, Flags, Trial


def centre_temps(
    food: Composition,
    body: Body,
    course: Course,
    films_w_m2k: Sequence[float],
    times_h: Sequence[float],
) -> Floats:
    """The centre's temperature in each film at each time  [°C].

    Parameters
    ----------
    course : its target is of no account
    times_h : 0 or more, each later than the one before  [h]

    Returns
    -------
    (films, times) array
        Such that `predict` would say just these times for just these temperatures, by
        whatever method the body and the course have.
    """
    curve = curve_from(food)
    is_plain = min(course.start_c, course.medium_c) >= food.freezing_c
    if is_plain and not body.is_simple:
        medium_c = course.medium_c
        return _by_series(curve, body, course, films_w_m2k, times_h, until_c=medium_c)
    cases = [
        Case(one_way(body), body.smallest_m / 2, course.start_c, course.medium_c, film)
        for film in films_w_m2k
    ]
    shares: Sequence[float] = (1.0,) * len(cases)
    if not body.is_simple:
        shares = shares_of(food, body, course, films_w_m2k)
    times = np.outer(shares, times_h)
    found = temps_at(curve, cases, times * 3600)
    if body.is_simple or course.start_c <= food.freezing_c:
        return found
    # Not colder than by series while the centre has yet to freeze: see `predict`, which
    # takes properties up to its target; half way to freezing moves a time by some
    # hundredths at most.
    lagged = _by_series(
        curve, body, course, films_w_m2k, times_h, until_c=food.freezing_c
    )
    return np.where(lagged >= food.freezing_c, np.maximum(found, lagged), found)


def _by_series(
    curve: Curve,
    body: Body,
    course: Course,
    films: Sequence[float],
    times_h: Sequence[float],
    *,
    until_c: float,
) -> Floats:
    """With properties between the start and another temperature."""
    conductivity, capacity = between(curve, course.start_c, until_c)
    span = course.start_c - course.medium_c
    rows = []
    for film in films:
        product = product_of(
            directions(body),
            conductivity_w_mk=conductivity,
            heat_capacity_j_m3k=capacity,
            film_w_m2k=film,
        )
        left = [product.left(3600 * time) for time in times_h]
        rows.append([course.medium_c + span * one for one in left])
    return np.array(rows)


def temps_at(
    curve: Curve, cases: Sequence[Case], times_s: Floats, nodes: int = NODES
) -> Floats:
    """The centre of each body at its own times, a row of rising seconds for each.

    ValueError if a step had to be tried too often.
    """
    run = _Run(Bodies(curve, cases, nodes), times_s)
    for _ in range(MOST_STEPS):
        if not run.is_under_way():
            return run.found
        run.advance()
    raise ValueError(f"no answer after {MOST_STEPS} steps")


class _Run:
    """Bodies on their way past given times; those that passed all leave the row."""

    def __init__(self, bodies: Bodies, times_s: Floats) -> None:
        self._bodies = bodies
        self._heat = bodies.starts.copy()
        count = len(self._heat)
        self._times = np.hstack([times_s, np.full((count, 1), np.inf)])
        self._of, self._next = np.arange(count), np.zeros(count, dtype=int)
        self._time, self._step = np.zeros(count), bodies.first_step_s()
        self._is_cautious = np.zeros(count, dtype=bool)
        self.found = np.full(times_s.shape, np.nan)
        self._note(self._times[:, 0] <= 0)

    def is_under_way(self) -> bool:
        """Whether any body has a time ahead of it."""
        return self._of.size > 0

    def advance(self) -> None:
        """One step of each body, cut short at its next time."""
        left = self._times[self._of, self._next] - self._time
        is_last = self._step >= left
        taken = np.where(is_last, left, self._step)
        trial = self._bodies.tried(self._heat, taken)
        is_kept = trial.error <= 1
        self._heat = np.where(is_kept[:, None], trial.heat, self._heat)
        self._time = np.where(is_kept, self._time + taken, self._time)
        self._step = self._wanted(trial, taken, is_kept & is_last)
        self._is_cautious = ~is_kept
        self._note(is_kept & is_last)

    def _wanted(self, trial: Trial, taken: Floats, is_cut: Flags) -> Floats:
        """The next step; one that was cut short says little of how far one may go."""
        step = taken * trial.factor(self._is_cautious)
        return np.where(is_cut, np.maximum(step, self._step), step)

    def _note(self, there: Flags) -> None:
        """What those measure that have come to their next time."""
        if not there.any():
            return
        which = self._of[there]
        centres = self._bodies.curve.temp_at(self._heat[there, 0])
        self.found[which, self._next[there]] = centres
        self._time[there] = self._times[which, self._next[there]]
        self._next[there] += 1
        stays = np.isfinite(self._times[self._of, self._next])
        if stays.all():
            return
        self._heat, self._time = self._heat[stays], self._time[stays]
        self._step, self._of = self._step[stays], self._of[stays]
        self._next, self._is_cautious = self._next[stays], self._is_cautious[stays]
        self._bodies.only(stays)
