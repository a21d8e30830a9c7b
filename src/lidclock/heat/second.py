"""A second opinion: the formula in one line that fits a question, if there is one."""

from __future__ import annotations

from dataclasses import dataclass

from lidclock.heat.bodies import CENTRE, CYLINDER, SPHERE
from lidclock.heat.closed_forms import (
    Freezing,
    Thawing,
    cleland_thaw_hours,
    pham_hours,
)
from lidclock.heat.predict import Body, Course, shape_factor
from lidclock.heat.properties import LATENT_KJ_KG, Composition, curve_from

PHAM, CLELAND = "pham-1986", "cleland-1986"
# Where the constants of a food are taken, as its enthalpies were: project notes on
# heat, sections 1.4 and 3.
_WARM_C, _FROZEN_C, _DEEP_C = 20.0, -18.0, -10.0
# Pham's formula is for a food frozen through, Cleland's for 0 °C in the centre.
_FROZEN_THROUGH_C, _ABOUT_K = -5.0, 0.05
_FACTORS = {CYLINDER: 2.0, SPHERE: 3.0}


@dataclass(frozen=True, slots=True)
class Second:
    """What a formula makes of a question."""

    method: str
    hours: float


def second_opinion(
    food: Composition, body: Body, course: Course, film_w_m2k: float
) -> Second | None:
    """Pham's or Cleland's time for the centre; None where neither was made for it."""
    if course.where != CENTRE or not course.is_passed:
        return None
    is_freezing = course.medium_c < course.target_c <= _FROZEN_THROUGH_C
    if is_freezing and course.start_c >= 0:
        temps = course.start_c, course.target_c, course.medium_c
        constants = freezing_constants(food)
        factor = _factor(body, film_w_m2k, constants.frozen_w_mk)
        hours = pham_hours(constants, body.smallest_m, film_w_m2k, temps, factor)
        return Second(PHAM, hours)
    if abs(course.target_c) <= _ABOUT_K and course.start_c <= _DEEP_C:
        thawing = thawing_constants(food)
        factor = _factor(body, film_w_m2k, thawing.unfrozen_w_mk)
        ends = course.start_c, course.medium_c
        hours = cleland_thaw_hours(thawing, body.smallest_m, film_w_m2k, ends, factor)
        return Second(CLELAND, hours)
    return None


def freezing_constants(food: Composition) -> Freezing:
    """The constants that Pham's formula wants of a food."""
    heavy = food.density_kg_m3() * 1000
    return Freezing(
        food.conductivity_w_mk(_FROZEN_C),
        heavy * food.specific_heat_kj_kgk(_WARM_C),
        heavy * food.specific_heat_kj_kgk(_FROZEN_C),
        heavy * LATENT_KJ_KG * food.ice(_FROZEN_C),
    )


def thawing_constants(food: Composition) -> Thawing:
    """The constants that Cleland's formula wants of a food."""
    heavy = food.density_kg_m3() * 1000
    curve = curve_from(food)
    return Thawing(
        food.conductivity_w_mk(_WARM_C),
        heavy * food.specific_heat_kj_kgk(_WARM_C),
        heavy * food.specific_heat_kj_kgk(_FROZEN_C),
        curve.heat_at(0.0) - curve.heat_at(_DEEP_C),
        food.freezing_c,
    )


def _factor(body: Body, film_w_m2k: float, conductivity_w_mk: float) -> float:
    """Over the time of a slab as thick as the shortest side."""
    base = _FACTORS.get(body.shape, 1.0)
    if body.is_simple:
        return base
    biot = film_w_m2k * body.smallest_m / conductivity_w_mk
    if body.shape == CYLINDER and not body.is_disc:
        return base * shape_factor(body, biot)
    return shape_factor(body, biot)
