"""When a container is ready: cooled, frozen through, thawed or tempered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from lidclock.heat import shape as factors
from lidclock.heat.bodies import CENTRE, CYLINDER, MEAN, NODES, SLAB, SPHERE, Case
from lidclock.heat.curves import Curve
from lidclock.heat.properties import Composition, curve_from
from lidclock.heat.series import Direction, seconds_to
from lidclock.heat.solver import time_to

BRICK = "brick"
SHAPES = (SLAB, CYLINDER, SPHERE, BRICK)
WHERES = (CENTRE, MEAN)
NUMERIC, DIVIDED, PRODUCT = "enthalpy", "enthalpy-shape-factor", "series-product"
HOW = {
    NUMERIC: "enthalpy by finite volumes",
    DIVIDED: "enthalpy by finite volumes through the shortest side, divided by "
    "Cleland's shape factor",
    PRODUCT: "product of exact series, one for each direction",
}


@dataclass(frozen=True, slots=True)
class Body:
    """A shape and its sizes in metres.

    Slab: thickness, cooled on both faces. Cylinder: diameter and length, None where it
    is endless. Sphere: diameter. Brick: three sides in any order.
    """

    shape: str
    sizes_m: tuple[float | None, ...]

    @property
    def smallest_m(self) -> float:
        """The shortest side."""
        return min(size for size in self.sizes_m if size is not None)

    @property
    def is_simple(self) -> bool:
        """Whether heat flows in one direction only."""
        return self.shape in (SLAB, SPHERE) or None in self.sizes_m

    @property
    def is_disc(self) -> bool:
        """Whether it is a cylinder lower than it is wide."""
        if self.shape != CYLINDER:
            return False
        diameter, length = self.sizes_m
        return length is not None and diameter is not None and length < diameter


@dataclass(frozen=True, slots=True)
class Course:
    """From which temperature, in which medium, until where has which temperature."""

    start_c: float
    medium_c: float
    target_c: float
    where: str = CENTRE

    @property
    def is_passed(self) -> bool:
        """Whether the medium brings the food past the target at all."""
        low, high = sorted((self.start_c, self.medium_c))
        return low < self.target_c < high


@dataclass(frozen=True, slots=True)
class Prediction:
    """Hours for each film, in their order; by which method, with which factor."""

    hours: tuple[float, ...]
    method: str
    factors: tuple[float, ...]


def predict(
    food: Composition, body: Body, course: Course, films_w_m2k: Sequence[float]
) -> Prediction:
    """How long the food takes under each film coefficient.

    ValueError if the medium does not bring it past the target (see `Course.is_passed`).
    """
    return predict_each(food, body, [course], [films_w_m2k])[0]


def predict_each(
    food: Composition,
    body: Body,
    courses: Sequence[Course],
    films_w_m2k: Sequence[Sequence[float]],
    *,
    nodes: int = NODES,
) -> list[Prediction]:
    """The same for several mediums with a list of films each, solved side by side.

    That takes hardly longer than one of them. With 8 nodes it takes a third less, and
    the time in a slow film moves by less than 0.01 %. ValueError too if the courses
    differ in anything but their medium.
    """
    first = courses[0]
    if any(replace(one, medium_c=first.medium_c) != first for one in courses):
        raise ValueError("courses side by side may differ in their medium only")
    curve = curve_from(food)
    if min(first.start_c, *(one.medium_c for one in courses)) >= food.freezing_c and (
        not body.is_simple
    ):
        return [
            _series(curve, body, course, films)
            for course, films in zip(courses, films_w_m2k, strict=True)
        ]
    shape = one_way(body)
    cases = [
        Case(shape, body.smallest_m / 2, course.start_c, course.medium_c, film)
        for course, films in zip(courses, films_w_m2k, strict=True)
        for film in films
    ]
    hours = time_to(curve, cases, first.target_c, where=first.where, nodes=nodes).hours
    found = _in_turn(hours.tolist(), [len(films) for films in films_w_m2k])
    if body.is_simple:
        return [Prediction(hours, NUMERIC, (1.0,) * len(hours)) for hours in found]
    return [
        _divided(food, body, course, films, hours)
        for course, films, hours in zip(courses, films_w_m2k, found, strict=True)
    ]


def one_way(body: Body) -> str:
    """The shape in which heat flows one way only that stands for a body."""
    if body.is_simple:
        return body.shape
    return SLAB if body.shape == BRICK or body.is_disc else CYLINDER


def _series(
    curve: Curve, body: Body, course: Course, films: Sequence[float]
) -> Prediction:
    hours = _products(curve, body, course, films, course.medium_c)
    return Prediction(hours, PRODUCT, (1.0,) * len(hours))


def _divided(
    food: Composition,
    body: Body,
    course: Course,
    films: Sequence[float],
    hours: Sequence[float],
) -> Prediction:
    """From the hours in one direction to those of a brick or a short cylinder."""
    curve = curve_from(food)
    shares = shares_of(food, body, course, films)
    divided = tuple(one / share for one, share in zip(hours, shares, strict=True))
    if food.freezing_c <= min(course.start_c, course.target_c):
        # Before its freezing the centre lags as in a body that never freezes, which a
        # factor does not know: up to a third too quick in a good film.
        lagged = _products(curve, body, course, films, course.target_c)
        divided = tuple(map(max, divided, lagged))
    return Prediction(divided, DIVIDED, shares)


def shares_of(
    food: Composition, body: Body, course: Course, films: Sequence[float]
) -> tuple[float, ...]:
    """The shape factor of a body with ends in each film."""
    conductivity = _near_the_face(curve_from(food), food, course)
    return tuple(
        shape_factor(body, film * body.smallest_m / conductivity) for film in films
    )


def shape_factor(body: Body, biot: float) -> float:
    """By how much the time in one direction is divided; biot with the whole side.

    The one direction is a slab's, but a cylinder's for one as high as wide or higher.
    """
    if body.shape == BRICK:
        least, middle, most = sorted(size for size in body.sizes_m if size)
        return factors.brick_factor(biot, middle / least, most / least)
    diameter, length = (size or 0.0 for size in body.sizes_m)
    if body.is_disc:
        return factors.disc_factor(biot, diameter / length)
    return factors.rod_factor(biot, length / diameter) / 2


def _in_turn(values: Sequence[float], counts: Sequence[int]) -> list[tuple[float, ...]]:
    """Values one after another, parted into so many each."""
    waiting = iter(values)
    return [tuple(next(waiting) for _ in range(count)) for count in counts]


def _products(
    curve: Curve, body: Body, course: Course, films: Sequence[float], other_c: float
) -> tuple[float, ...]:
    """By series, with the properties between the start and another temperature."""
    left = (course.medium_c - course.target_c) / (course.medium_c - course.start_c)
    conductivity, capacity = between(curve, course.start_c, other_c)
    return tuple(
        seconds_to(
            directions(body),
            left,
            conductivity_w_mk=conductivity,
            heat_capacity_j_m3k=capacity,
            film_w_m2k=film,
            where=course.where,
        )
        / 3600
        for film in films
    )


def between(curve: Curve, start_c: float, other_c: float) -> tuple[float, float]:
    """Conductivity half way, and heat capacity of the way between two temperatures."""
    span = other_c - start_c
    heat = curve.heat_at(other_c) - curve.heat_at(start_c)
    return curve.conductivity_at(start_c + span / 2), heat / span


def directions(body: Body) -> tuple[Direction, ...]:
    """The one-dimensional bodies that a brick or a finite cylinder is cut from."""
    sizes = [size / 2 for size in body.sizes_m if size is not None]
    if body.shape == CYLINDER:
        return (
            Direction(CYLINDER, sizes[0]),
            *(Direction(SLAB, one) for one in sizes[1:]),
        )
    return tuple(Direction(SLAB, one) for one in sizes)


def _near_the_face(curve: Curve, food: Composition, course: Course) -> float:
    """Conductivity of the layer that heat passes through: frozen, or thawed."""
    return curve.conductivity_at(
        course.medium_c
        if course.medium_c < food.freezing_c
        else max(course.medium_c, 0.0)
    )
